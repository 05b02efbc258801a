package season

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"io"
	"maps"
	"slices"
	"strconv"
	"strings"
	"time"

	"whistlestop/game/dates"
	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/internal/api"
	"whistlestop/record/report"
	"whistlestop/season/handin"
	"whistlestop/season/tally"
)

// handInListJSON is what the league must have, and has.
type handInListJSON struct {
	Hours         int              `json:"hours"`          // of the league file; 0: it sets none
	IncidentHours int              `json:"incident_hours"` // where something was noted or somebody earned a suspension
	Games         []toHandInJSON   `json:"games"`          // late first, then by the deadline; what was handed in last
	Weeks         []handInWeekJSON `json:"weeks"`          // with games, the newest first
}

// handInWeekJSON is a week of games.
type handInWeekJSON struct {
	Monday string `json:"monday"` // YYYY-MM-DD
	Games  int    `json:"games"`
	Open   int    `json:"open"` // of them still to be handed in
}

// toHandInJSON is a game that the league must have.
type toHandInJSON struct {
	Of          behindGameJSON `json:"of"`
	Sealed      bool           `json:"sealed"`
	Incidents   int            `json:"incidents"`
	Suspensions int            `json:"suspensions"`
	Hours       int            `json:"hours"`        // within which, from the final horn; 0: the league sets none
	By          string         `json:"by,omitempty"` // YYYY-MM-DD HH:MM by the rinks' clock
	Late        bool           `json:"late"`         // it is after that, and the game was not handed in
	Handed      *handedInJSON  `json:"handed,omitempty"`
	Changed     bool           `json:"changed"` // since it was handed in: to be handed in again
}

// handedInJSON is what was noted when a game was handed in.
type handedInJSON struct {
	At      string `json:"at"` // YYYY-MM-DD HH:MM by the rinks' clock
	Late    bool   `json:"late"`
	SHA256  string `json:"sha256"` // of the package
	Receipt string `json:"receipt,omitempty"`
}

// handInReceiptJSON is what a package holds.
type handInReceiptJSON struct {
	SHA256 string            `json:"sha256"`
	At     entry.Millis      `json:"at_ms"`
	Games  []handin.Due      `json:"games"`
	Held   []handin.HandedIn `json:"held"`
	Bytes  int               `json:"bytes"`
}

// handInNoteJSON notes that a package was handed in.
type handInNoteJSON struct {
	Game    string `json:"game,omitempty"`
	Week    string `json:"week,omitempty"`
	SHA256  string `json:"sha256"`            // of the package that was handed in
	Receipt string `json:"receipt,omitempty"` // what the league answered
}

// handedFile is the file of what was handed in.
type handedFile struct {
	Version int                   `json:"version"`
	Games   map[string]handedGame `json:"games"` // by id in the schedule
}

// handedGame is the newest package of a game that was handed in.
type handedGame struct {
	At          entry.Millis `json:"at_ms"`
	By          entry.Millis `json:"by_ms"`
	SHA256      string       `json:"sha256"`
	Fingerprint string       `json:"fingerprint"` // of the seal that was handed in
	Sealed      bool         `json:"sealed"`
	Ledger      string       `json:"ledger"`
	Receipt     string       `json:"receipt,omitempty"`
}

const receiptMost = 500 // letters of what a league answers

// handed reads what was handed in.
func (s *Service) handed() (handedFile, error) {
	text, err := s.Kept.HandedIn()
	if err != nil {
		s.Logger.Error("read what was handed in", "error", err)
		return handedFile{}, api.NotNow("season.unreadable")
	}
	if text == nil {
		return handedFile{Version: 1, Games: map[string]handedGame{}}, nil
	}
	file, err := readHanded(text)
	if err != nil {
		return handedFile{}, api.NotNow("season.handed_in_unreadable", "why", message.Plain(err.Error()))
	}
	return file, nil
}

// readHanded reads the file of what was handed in: all of it, or nothing.
func readHanded(text []byte) (handedFile, error) {
	var file handedFile
	decoder := json.NewDecoder(bytes.NewReader(text))
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(&file); err != nil {
		return handedFile{}, err
	}
	if _, err := decoder.Token(); err != io.EOF {
		return handedFile{}, errors.New("trailing data")
	}
	if file.Version != 1 || file.Games == nil {
		return handedFile{}, errors.New("version " + strconv.Itoa(file.Version))
	}
	return file, nil
}

// due is a game's part of a hand-in, and its deadline.
func (b booked) due(g tally.Game, now entry.Millis) (handin.HandedIn, handin.Due) {
	one := b.known[g.Result.Ledger].handed
	one.ID = g.ID
	for _, suspension := range b.Suspensions {
		if suspension.Game == g.ID {
			one.Suspensions++
		}
	}
	return one, handin.DueOf(one, b.league.HandIn, now)
}

// clock is an instant by the rinks' clock.
func (f files) clock(at entry.Millis) string {
	if at == 0 {
		return ""
	}
	return time.UnixMilli(int64(at)).In(f.zone).Format("2006-01-02 15:04")
}

// handInList is what the league must have, and has.
func (s *Service) handInList(c *api.Call) (out handInListJSON, err error) {
	out = handInListJSON{Games: []toHandInJSON{}, Weeks: []handInWeekJSON{}}
	err = s.counted(c, func(b booked) error {
		file, err := s.handed()
		if err != nil {
			return err
		}
		out.Hours, out.IncidentHours = b.league.HandIn.Hours, b.league.HandIn.IncidentHours
		weeks := map[dates.Day]*handInWeekJSON{}
		by := map[string]entry.Millis{}
		for _, g := range b.Games {
			if g.Result == nil || g.Result.Ledger == "" {
				continue
			}
			one, due := b.due(g, c.Now)
			by[g.ID] = due.By
			line := toHandInJSON{
				Of: behindGames(c, b.Season, map[string]bool{g.ID: true})[0], Sealed: one.Sealed, Incidents: one.Incidents, Suspensions: one.Suspensions,
				Hours: due.Hours, By: b.clock(due.By), Late: due.Late,
			}
			if before, noted := file.Games[g.ID]; noted {
				line.Handed = &handedInJSON{At: b.clock(before.At), SHA256: before.SHA256, Receipt: before.Receipt, Late: before.By > 0 && before.At > before.By}
				line.Changed = before.Fingerprint != one.Fingerprint || before.Sealed != one.Sealed || before.Ledger != one.Ledger
				line.Late = due.Late && line.Changed
			}
			if g.Place != nil {
				monday := g.Place.Day - dates.Day((int(g.Place.Day.Weekday())+6)%7)
				if weeks[monday] == nil {
					weeks[monday] = &handInWeekJSON{Monday: monday.String()}
				}
				weeks[monday].Games++
				if line.open() {
					weeks[monday].Open++
				}
			}
			out.Games = append(out.Games, line)
		}
		slices.SortStableFunc(out.Games, func(x, y toHandInJSON) int {
			return cmp.Or(cmp.Compare(x.turn(), y.turn()), cmp.Compare(by[x.Of.ID], by[y.Of.ID]))
		})
		for _, monday := range slices.Backward(slices.Sorted(maps.Keys(weeks))) {
			out.Weeks = append(out.Weeks, *weeks[monday])
		}
		return nil
	})
	return out, err
}

// open says whether the game is still to be handed in.
func (j toHandInJSON) open() bool { return j.Handed == nil || j.Changed }

// turn orders games: late, with a deadline, without one, handed in.
func (j toHandInJSON) turn() int {
	switch {
	case !j.open():
		return 3
	case j.Late:
		return 0
	case j.By != "":
		return 1
	}
	return 2
}

// packed is the package of a game or a week.
func (s *Service) packed(c *api.Call, game, week string) (pack []byte, out handInReceiptJSON, err error) {
	if (game == "") == (week == "") {
		return nil, out, api.Refuse("season.hand_in_what")
	}
	monday := 0
	if week != "" {
		day, err := dates.Parse(week)
		if err != nil {
			return nil, out, refuse(err).About("week")
		}
		monday = day.Week()
	}
	var games []handin.Game
	var f files
	err = s.counted(c, func(b booked) error {
		f = b.files
		for _, g := range b.Games {
			asked := g.ID == game || game == "" && g.Place != nil && g.Place.Day.Week() == monday
			if !asked || g.Result == nil || g.Result.Ledger == "" {
				continue
			}
			ledger, err := s.Live.Ledger(c, g.Result.Ledger)
			if err != nil {
				return err
			}
			one := handin.Game{ID: g.ID}
			if one.Report, err = report.Build(ledger, report.Options{}); err != nil {
				return err
			}
			if one.Ledger, err = api.Lines(ledger); err != nil {
				return err
			}
			for _, suspension := range b.Suspensions {
				if suspension.Game == g.ID {
					one.Suspensions = append(one.Suspensions, suspension)
				}
			}
			games = append(games, one)
			out.Held = append(out.Held, handin.About(one))
		}
		return nil
	})
	if err != nil {
		return nil, out, err
	}
	if len(games) == 0 {
		return nil, out, api.NotThere("season.nothing_to_hand_in")
	}
	pack, receipt, err := handin.Pack(games, f.league.HandIn, c.Now)
	out.SHA256, out.At, out.Games, out.Bytes = receipt.SHA256, receipt.At, receipt.Games, len(pack)
	return pack, out, err
}

func (s *Service) handInPackage(c *api.Call) (api.File, error) {
	game, week := c.Query("game"), c.Query("week")
	pack, _, err := s.packed(c, game, week)
	return api.File{Raw: pack, Media: "application/zip", Name: "hand-in-" + cmp.Or(game, week) + ".zip"}, err
}

func (s *Service) handInReceipt(c *api.Call) (handInReceiptJSON, error) {
	_, out, err := s.packed(c, c.Query("game"), c.Query("week"))
	return out, err
}

// handInNote notes that a package was handed in.
func (s *Service) handInNote(c *api.Call, in handInNoteJSON) (handInListJSON, error) {
	if err := s.note(c, in); err != nil {
		return handInListJSON{}, err
	}
	return s.handInList(c)
}

func (s *Service) note(c *api.Call, in handInNoteJSON) error {
	s.changing.Lock()
	defer s.changing.Unlock()
	_, receipt, err := s.packed(c, in.Game, in.Week)
	if err != nil {
		return err
	}
	if receipt.SHA256 != in.SHA256 {
		return api.NewNo(api.StatusConflict, api.Conflict, "season.handed_in_other")
	}
	file, err := s.handed()
	if err != nil {
		return err
	}
	due := map[string]entry.Millis{}
	for _, one := range receipt.Games {
		due[one.ID] = one.By
	}
	answer := []rune(strings.TrimSpace(in.Receipt))
	for _, one := range receipt.Held {
		file.Games[one.ID] = handedGame{
			At: c.Now, By: due[one.ID], SHA256: in.SHA256, Fingerprint: one.Fingerprint, Sealed: one.Sealed, Ledger: one.Ledger,
			Receipt: string(answer[:min(len(answer), receiptMost)]),
		}
	}
	text, err := json.MarshalIndent(file, "", " ")
	if err == nil {
		err = s.Kept.KeepHandedIn(append(text, '\n'))
	}
	if err != nil {
		s.Logger.Error("note what was handed in", "error", err)
		return api.NotNow("season.not_kept")
	}
	s.Logger.Info("a package was handed in", "games", len(receipt.Held), "sha256", in.SHA256)
	return nil
}
