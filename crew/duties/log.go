package duties

import (
	"bytes"
	"cmp"
	"encoding/hex"
	"encoding/json"

	"whistlestop/game/dates"
	"whistlestop/game/message"
)

// Who is a person of the rota.
type Who struct {
	Name   string `json:"name"`
	Family string `json:"family,omitempty"`
}

// Visit is when and where somebody has to be for a duty, by the rink's own clock.
type Visit struct {
	Day   dates.Day   `json:"day"`
	There dates.Clock `json:"there"`
	Rink  string      `json:"rink"`
}

// Moment is when somebody has to be there.
func (v Visit) Moment() Moment { return Moment{v.Day, v.There} }

// Duty is a seat of a game, with who sits there now; without a name nobody does.
type Duty struct {
	Game, Seat string
	Visit
	Who
}

// Moment is a day and a time of day, by the rink's own clock.
type Moment struct {
	Day   dates.Day   `json:"day"`
	Clock dates.Clock `json:"clock"`
}

// Compare is -1, 0 or 1, as m is before, at or after o.
func (m Moment) Compare(o Moment) int {
	return cmp.Or(cmp.Compare(m.Day, o.Day), cmp.Compare(m.Clock, o.Clock))
}

// After is how many minutes m is after o, by the rink's clock.
func (m Moment) After(o Moment) int { return int(m.Day-o.Day)*24*60 + int(m.Clock-o.Clock) }

// Kind is what happened with a duty.
type Kind string

// What can happen with a duty.
const (
	Asked    Kind = "asked"    // somebody was asked whether they come
	Reminded Kind = "reminded" // and told once more
	Released Kind = "released" // and told that they need not come
	Accepted Kind = "accepted"
	Declined Kind = "declined"
	Offered  Kind = "offered" // they come unless somebody else takes it
	Came     Kind = "came"
	Missed   Kind = "missed"
	Unmarked Kind = "unmarked" // took back whether they came
	Season   Kind = "season"   // a new season began: everybody is asked whether they stay
)

// Kinds are all of them.
var Kinds = []Kind{Asked, Reminded, Released, Accepted, Declined, Offered, Came, Missed, Unmarked, Season}

// Event is something that happened with one duty and one person.
type Event struct {
	Kind Kind   `json:"kind"`
	At   Moment `json:"at"`
	Game string `json:"game"`
	Seat string `json:"seat"`
	Who
	Told *Visit `json:"told,omitempty"` // when and where, as the person knows it
}

// Log is everything that happened with the duties of a season.
type Log struct {
	Key    []byte // makes the codes of the answers; 16 bytes that nobody else knows
	Events []Event
}

// KeyBytes is how long a log's key is.
const KeyBytes = 16

const (
	fileMost   = 16 << 20 // bytes
	eventsMost = 100_000
	textMost   = 200 // bytes of a name or an id
)

type logFile struct {
	Version int     `json:"version"` // of this form: 1
	Key     string  `json:"key"`
	Events  []Event `json:"events"`
}

// Keep is a log as a file.
func (l Log) Keep() ([]byte, error) {
	text, err := json.MarshalIndent(logFile{1, hex.EncodeToString(l.Key), l.Events}, "", " ")
	if err != nil {
		return nil, err
	}
	return append(text, '\n'), nil
}

// Read reads a log. It is taken whole or not at all.
func Read(text []byte) (Log, error) {
	if len(text) > fileMost {
		return Log{}, message.New("duty_file.large", "most", fileMost>>20)
	}
	var f logFile
	decoder := json.NewDecoder(bytes.NewReader(text))
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(&f); err != nil {
		return Log{}, message.Because(err, "duty_file.unreadable")
	}
	if f.Version != 1 {
		return Log{}, message.New("duty_file.version", "version", f.Version)
	}
	key, err := hex.DecodeString(f.Key)
	if err != nil || len(key) != KeyBytes {
		return Log{}, message.New("duty_file.key")
	}
	if len(f.Events) > eventsMost {
		return Log{}, message.New("duty_file.many", "most", eventsMost)
	}
	for i, e := range f.Events {
		if !e.valid() {
			return Log{}, message.New("duty_file.event", "number", i+1)
		}
	}
	return Log{key, f.Events}, nil
}

func (e Event) valid() bool {
	for _, text := range []string{e.Game, e.Seat, e.Name} {
		if text == "" || len(text) > textMost {
			return false
		}
	}
	telling := e.Kind == Asked || e.Kind == Reminded || e.Kind == Season
	for _, kind := range Kinds {
		if e.Kind == kind {
			return !telling || e.Told != nil
		}
	}
	return false
}

// Forget takes a person's name out of a log: their duties still count, for nobody.
// It says how many events named them.
func (l Log) Forget(who Who) (Log, int) {
	events, count := append([]Event(nil), l.Events...), 0
	for i := range events {
		if events[i].Who == who {
			events[i].Who = Who{Name: Nameless}
			count++
		}
	}
	return Log{l.Key, events}, count
}

// Nameless stands for whoever asked to be forgotten.
const Nameless = "-"
