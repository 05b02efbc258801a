package onduty

import (
	"bytes"
	"encoding/json"
	"strings"

	"whistlestop/crew/duties"
	"whistlestop/game/dates"
	"whistlestop/game/message"
)

// File is who is on duty at some games.
type File struct {
	Version int           `json:"version"` // of this form: 1
	League  string        `json:"league"`
	Made    duties.Moment `json:"made"`
	Games   []Game        `json:"games"`
}

// Game is a game with those who are on duty at it.
type Game struct {
	ID       string      `json:"game"` // of the schedule
	Day      dates.Day   `json:"day"`
	Start    dates.Clock `json:"start"`
	Home     string      `json:"home"`
	Visitors string      `json:"visitors"`
	Seats    []Seat      `json:"seats"`
}

// Seat is a seat with whoever is on duty there.
type Seat struct {
	ID    string      `json:"seat"`
	Kind  string      `json:"kind"` // of the bench's own seats, where it is one of them
	There dates.Clock `json:"there"`
	Name  string      `json:"name"` // first name and initial
	Mark  duties.Kind `json:"mark,omitempty"`
	// What the desk reads when they came, did not, or when that was taken back.
	Came     string `json:"came"`
	Missed   string `json:"missed"`
	Unmarked string `json:"unmarked"`
}

// The limits of a file.
const (
	FileMost  = 4 << 20 // bytes
	gamesMost = 5000
	seatsMost = 40
	textMost  = 200
)

// Keep is the file as a text.
func (f File) Keep() ([]byte, error) {
	f.Version = 1
	text, err := json.MarshalIndent(f, "", " ")
	return append(text, '\n'), err
}

// Read reads a file, whole or not at all.
func Read(text []byte) (File, error) {
	var f File
	if len(text) > FileMost {
		return f, message.New("onduty.large", "most", FileMost>>20)
	}
	decoder := json.NewDecoder(bytes.NewReader(text))
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(&f); err != nil {
		return File{}, message.Because(err, "onduty.unreadable")
	}
	if f.Version != 1 {
		return File{}, message.New("onduty.version", "version", f.Version)
	}
	if len(f.Games) > gamesMost {
		return File{}, message.New("onduty.many", "most", gamesMost)
	}
	for i, g := range f.Games {
		if !g.valid() {
			return File{}, message.New("onduty.game", "number", i+1)
		}
	}
	return f, nil
}

func (g Game) valid() bool {
	if !short(g.ID, g.Home, g.Visitors) || len(g.Seats) > seatsMost {
		return false
	}
	for _, s := range g.Seats {
		mark := s.Mark == "" || s.Mark == duties.Came || s.Mark == duties.Missed
		if !short(s.ID, s.Name, s.Came, s.Missed, s.Unmarked) || len(s.Kind) > textMost || !mark {
			return false
		}
	}
	return true
}

func short(texts ...string) bool {
	for _, text := range texts {
		if text == "" || len(text) > textMost {
			return false
		}
	}
	return true
}

// Wanted is a game as the bench knows it: by its id in the schedule or, where it was
// opened by hand, by its day and teams.
type Wanted struct {
	Schedule       string
	Day            dates.Day
	Home, Visitors string
}

// Find is the game that is wanted. Two games of the same teams on one day are told
// apart only by the schedule.
func (f File) Find(w Wanted) (found Game, known bool) {
	for _, g := range f.Games {
		switch {
		case w.Schedule != "" && g.ID == w.Schedule:
			return g, true
		case w.Schedule == "" && g.Day == w.Day && same(g.Home, w.Home) && same(g.Visitors, w.Visitors):
			if known {
				return Game{}, false
			}
			found, known = g, true
		}
	}
	return found, known
}

func same(a, b string) bool { return strings.EqualFold(strings.TrimSpace(a), strings.TrimSpace(b)) }

// Code is what the desk reads of a mark.
func (s Seat) Code(mark duties.Kind) string {
	if mark == duties.Came {
		return s.Came
	}
	if mark == duties.Missed {
		return s.Missed
	}
	return s.Unmarked
}

// Of is a game by its id in the schedule.
func (f File) Of(id string) (Game, bool) { return f.Find(Wanted{Schedule: id}) }

// Also are the other games at which a name is on duty. Short names may be those of two
// people, so whoever reads this has to ask.
func (f File) Also(name, but string) (games []string) {
	for _, g := range f.Games {
		if g.ID == but {
			continue
		}
		for _, s := range g.Seats {
			if s.Name == name {
				games = append(games, g.ID)
				break
			}
		}
	}
	return games
}
