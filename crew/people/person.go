package people

import "whistlestop/game/dates"

// Level is how well somebody knows a seat.
type Level string

// The levels, from nothing to leading a learner.
const (
	Not     Level = ""
	Learner Level = "learner"
	Ready   Level = "ready"
	Guide   Level = "guide"
)

// Span is days away, both ends included.
type Span struct{ From, To dates.Day }

// Person is somebody who helps. No birth date, no address and no reason is kept:
// only what decides where somebody may sit.
type Person struct {
	Name   string
	Family string // whose duties are counted together; a person alone is a family of one
	Teams  []string
	Levels map[string]Level // by seat

	Days      []dates.Weekday // none: every day
	Away      []Span
	NotBefore *dates.Clock
	DayMost   int // duties a day; nought: one
	Most      int // duties in all; nought: no limit of their own
	Age       int // at least so many years old; nought: an adult
	Screened  *dates.Day
	Far       []string   // rinks that they would rather not go to
	OneFree   bool       // one adult of the family stays free
	Since     *dates.Day // new since: their first duty is wanted soon, beside a guide; nil: not new
	Reach     string     // one way to reach them, a mail address or a telephone number; only the desk keeps it
}

// Finding is what is wrong with a line of a list.
type Finding struct {
	Line   int    `json:"line"` // from 1; the titles are the first
	Column string `json:"column,omitempty"`
	Kind   Kind   `json:"kind"`
	Text   string `json:"text,omitempty"` // what stands there
}

// Kind is a kind of finding.
type Kind string

// The kinds.
const (
	NoTitles   Kind = "no_titles"   // the first line has no column "name"
	TooLong    Kind = "too_long"    // more lines, columns or letters than a list may have
	BadTable   Kind = "bad_table"   // no table of columns
	Unknown    Kind = "unknown"     // a column that nothing is known of: left out
	NoName     Kind = "no_name"     // the line was left out
	Twice      Kind = "twice"       // the same person once more: the line was left out
	Unreadable Kind = "unreadable"  // the field was left out
	NotKept    Kind = "not_kept"    // a telephone number, address or birth date: the column was left out
	BadLetters Kind = "bad_letters" // signs that no name has: the line was left out
)
