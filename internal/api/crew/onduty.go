package crew

import (
	"log/slog"
	"slices"
	"sync"

	"whistlestop/crew/duties"
	"whistlestop/crew/onduty"
	"whistlestop/game/entry"
	"whistlestop/internal/api"
	"whistlestop/internal/wording"
)

// DutyFiles is where a bench keeps what a coordinator handed to it, and what it noted.
// What is not there is nil.
type DutyFiles interface {
	OnDuty() ([]byte, error)
	KeepOnDuty(text []byte) error
	Noted() ([]byte, error)
	KeepNoted(text []byte) error
}

// Bench is the crew's side of a bench: who is on duty at its games, and who came. Where
// the desk is kept beside the games it is asked itself; otherwise the file is that it
// handed over.
type Bench struct {
	Desk  *Service
	Files DutyFiles // nil: this bench keeps none
	// Game says which game of the schedule a game of the bench is.
	Game   func(c *api.Call, game string) (onduty.Wanted, error)
	Logger *slog.Logger

	noting sync.Mutex // two devices that note at once both find what the other noted
}

// dutySeatJSON is a seat of a game with whoever is on duty there.
type dutySeatJSON struct {
	Seat  string `json:"seat"`
	Text  string `json:"text"` // the seat, for people
	There string `json:"there"`
	Name  string `json:"name"` // first name and initial
	Mark  string `json:"mark"` // came, missed, or nothing yet
}

// onDutyJSON is who is on duty at a game.
type onDutyJSON struct {
	Desk  bool           `json:"desk"`  // the desk is kept here: nothing has to be brought
	Known bool           `json:"known"` // a file or the desk has this game
	Made  string         `json:"made"`  // when the file was made, by the rinks' clock
	Seats []dutySeatJSON `json:"seats"`
	Codes string         `json:"codes"` // what was noted of this game, as the desk reads it
}

// noteDutyJSON is what the bench says of somebody on duty.
type noteDutyJSON struct {
	Seat string `json:"seat"`
	Act  string `json:"act"` // came, missed, unmark
}

// Operations are those of a bench.
func (b *Bench) Operations() []api.Operation {
	return []api.Operation{
		{Method: "GET", Path: "/api/games/{game}/crew", Who: api.BenchOnly, Handler: api.Ask(b.onDuty), About: "Who is on duty at a game, by name, and who of them came."},
		{Method: "POST", Path: "/api/games/{game}/crew", Who: api.BenchOnly, Handler: api.Take(b.note), About: "Notes that somebody on duty came or did not, or takes that back."},
		{Method: "PUT", Path: "/api/crew/on-duty", Who: api.BenchOnly, Handler: api.Ask(b.bring), TakesMedia: "application/octet-stream",
			Most: onduty.FileMost, TooLarge: "season.too_large", About: "Keeps the file of those on duty that a crew's desk wrote, in place of the one that is there."},
		{Method: "GET", Path: "/api/crew/noted", Who: api.BenchOnly, Handler: api.Hand("text/plain", b.noted), About: "Who came to all games of this bench, as codes that the desk reads."},
	}
}

// file is who is on duty, with what the bench noted.
func (b *Bench) file(c *api.Call) (f onduty.File, n onduty.Noted, known bool, err error) {
	n.Version = 1
	if b.Desk != nil && b.Desk.Papers != nil {
		f, err = b.Desk.handed(c, everyDay)
		return f, n, err == nil, err
	}
	if b.Files == nil {
		return f, n, false, nil
	}
	text, err := b.Files.OnDuty()
	var noted []byte
	if err == nil {
		noted, err = b.Files.Noted()
	}
	if err == nil && text != nil {
		f, err = onduty.Read(text)
	}
	if err == nil {
		n, err = onduty.ReadNoted(noted)
	}
	if err != nil {
		b.Logger.Error("read who is on duty", "error", err)
		return f, n, false, api.NotNow("crew.on_duty_unreadable", "why", api.Plain(err))
	}
	return f, n, text != nil, nil
}

// find is a game of the bench with those on duty.
func (b *Bench) find(c *api.Call) (g onduty.Game, f onduty.File, n onduty.Noted, known bool, err error) {
	wanted, err := b.Game(c, c.In()) // first: a game that is not there is nobody's duty
	if err != nil {
		return g, f, n, false, err
	}
	f, n, known, err = b.file(c)
	if err != nil || !known {
		return g, f, n, false, err
	}
	g, known = f.Find(wanted)
	return g, f, n, known, nil
}

// onDuty says who is on duty at a game.
func (b *Bench) onDuty(c *api.Call) (onDutyJSON, error) {
	g, f, n, known, err := b.find(c)
	out := onDutyJSON{Desk: b.Desk != nil && b.Desk.Papers != nil, Known: known, Seats: []dutySeatJSON{}}
	if err != nil {
		return out, err
	}
	if f.Made.Day != 0 {
		out.Made = f.Made.Day.String() + " " + f.Made.Clock.String()
	}
	for _, s := range g.Seats {
		out.Seats = append(out.Seats, dutySeatJSON{Seat: s.ID, Text: wording.Seat(c.Words, s.ID), There: s.There.String(), Name: s.Name, Mark: string(n.Of(g.ID, s))})
	}
	if known {
		out.Codes = n.Codes(g.ID)
	}
	return out, nil
}

// note notes a mark.
func (b *Bench) note(c *api.Call, in noteDutyJSON) (onDutyJSON, error) {
	mark, is := map[string]duties.Kind{"came": duties.Came, "missed": duties.Missed, "unmark": duties.Unmarked}[in.Act]
	b.noting.Lock()
	defer b.noting.Unlock()
	g, _, n, known, err := b.find(c)
	if err != nil {
		return onDutyJSON{}, err
	}
	at := slices.IndexFunc(g.Seats, func(s onduty.Seat) bool { return s.ID == in.Seat })
	if !is || !known || at < 0 {
		return onDutyJSON{}, api.NotThere("crew.no_seat")
	}
	if err := b.mark(c, g, g.Seats[at], n, mark); err != nil {
		return onDutyJSON{}, err
	}
	return b.onDuty(c)
}

// mark keeps a mark where it belongs: at the desk, or in the file for it.
func (b *Bench) mark(c *api.Call, g onduty.Game, seat onduty.Seat, n onduty.Noted, mark duties.Kind) error {
	if b.Desk != nil && b.Desk.Papers != nil {
		_, err := with(b.Desk, c, func(v view) ([]crewReplyJSON, error) { return b.Desk.take(c, v, seat.Code(mark)) })
		return err
	}
	text, err := n.With(g.ID, seat, mark).Keep()
	if err == nil {
		err = b.Files.KeepNoted(text)
	}
	if err != nil {
		b.Logger.Error("keep who came", "error", err)
		return api.NotNow("crew.not_kept")
	}
	return nil
}

// Taken marks whoever is on duty in a seat as come, once a device takes it: the first
// of that kind of seat of whom nothing is noted. A bench that knows of no duty, or
// cannot keep a mark, lets people sit all the same.
func (b *Bench) Taken(c *api.Call, seat entry.Seat, side entry.Side) {
	b.noting.Lock()
	defer b.noting.Unlock()
	g, _, n, known, err := b.find(c)
	if err != nil || !known {
		return
	}
	for _, s := range g.Seats {
		fits := s.Kind == string(seat) || s.ID == ofSide(seat, side)
		if side != "" && s.ID == ofSide(seat, side.Other()) {
			fits = false
		}
		if fits && n.Of(g.ID, s) == "" {
			if err := b.mark(c, g, s, n, duties.Came); err != nil {
				b.Logger.Warn("a seat was taken and its duty is not marked", "game", g.ID, "seat", s.ID, "error", err)
			}
			return
		}
	}
}

// ofSide is the id of a seat that each side has, such as the box.
func ofSide(seat entry.Seat, side entry.Side) string { return string(seat) + "_" + string(side) }

// bring keeps a file that a desk wrote.
func (b *Bench) bring(c *api.Call) (onDutyJSON, error) {
	out := onDutyJSON{Known: true, Seats: []dutySeatJSON{}}
	if b.Files == nil {
		return out, api.NotThere("season.none_kept")
	}
	text, err := c.Body()
	if err != nil {
		return out, err
	}
	f, err := onduty.Read(text)
	if err != nil {
		return out, api.Refuse("crew.refused", "why", api.Plain(err))
	}
	if err := b.Files.KeepOnDuty(text); err != nil {
		b.Logger.Error("keep who is on duty", "error", err)
		return out, api.NotNow("crew.not_kept")
	}
	out.Made = f.Made.Day.String() + " " + f.Made.Clock.String()
	return out, nil
}

// noted is what was noted of all games.
func (b *Bench) noted(c *api.Call) (api.File, error) {
	_, n, _, err := b.file(c)
	return api.File{Raw: []byte(n.Codes("")), Media: "text/plain; charset=utf-8", Name: "who-came.txt"}, err
}

// handed is who is on duty in some days.
func (s *Service) handed(c *api.Call, d days) (onduty.File, error) {
	return with(s, c, func(v view) (onduty.File, error) {
		if v.league == nil {
			return onduty.File{}, nil
		}
		list, _ := v.list(everyDay)
		return v.desk(list).OnDuty(d.from, d.to), nil
	})
}

// handFile is the same as a file for a bench that does not have the desk.
func (s *Service) handFile(c *api.Call) (api.File, error) {
	d, err := daysOf(c, c.Query("from"), c.Query("to"))
	if err != nil {
		return api.File{}, err
	}
	f, err := s.handed(c, d)
	if err == nil && len(f.Games) == 0 {
		err = api.Refuse("crew.nobody_on_duty")
	}
	if err != nil {
		return api.File{}, err
	}
	text, err := f.Keep()
	return api.File{Raw: text, Media: "application/json", Name: "on-duty.json"}, err
}
