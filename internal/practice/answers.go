package practice

import (
	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
	"whistlestop/practice/grade"
	"whistlestop/practice/plot"
	"whistlestop/practice/progress"
	"whistlestop/practice/rink"
	"whistlestop/practice/run"
	"whistlestop/practice/script"
)

// Scripts is the scripts that can be practised.
type Scripts struct {
	Scripts []ScriptTitle `json:"scripts"`
}

// ScriptTitle is a script in a list.
type ScriptTitle struct {
	ID       string          `json:"id"`
	Title    string          `json:"title"`
	Division string          `json:"division"` // its name
	Level    int             `json:"level"`
	Short    bool            `json:"short"` // a drill of one to two minutes
	Length   entry.Millis    `json:"length_ms"`
	Skills   []plot.Skill    `json:"skills"`
	Clock    entry.ClockMode `json:"clock"`
	Added    bool            `json:"added"` // by the learner or the coordinator; not part of the program
}

// ScriptFile is a script to be added: a coordinator's file, or the ledger of a
// game that was played.
type ScriptFile struct {
	Name  string `json:"name"` // of the file
	Text  string `json:"text"`
	Level int    `json:"level,omitempty"` // of a ledger: how it is to be practised; 0: 3
}

// ScriptOrder is a script to be made.
type ScriptOrder struct {
	Seed     uint32       `json:"seed"`
	Level    int          `json:"level"`
	Skills   []plot.Skill `json:"skills"` // none: those of the level
	Division string       `json:"division"`
}

// Beginning is what a practice is begun with.
type Beginning struct {
	Script string     `json:"script"`
	Seat   entry.Seat `json:"seat"` // the others are played by the program
	Pace   run.Pace   `json:"pace"`
	Watch  bool       `json:"watch,omitempty"` // the program plays the seat too, and says why
}

// Pacing is how fast a practice goes.
type Pacing struct {
	Pace run.Pace `json:"pace"`
}

// Begun is a practice that was begun.
type Begun struct {
	Game     string            `json:"game"` // as the screens ask for it
	Script   ScriptTitle       `json:"script"`
	Division rulebook.Division `json:"division"`
	Home     entry.Team        `json:"home"`
	Visitors entry.Team        `json:"visitors"`
	Box      bool              `json:"box"`
	Cues     []script.Cue      `json:"cues"`
}

// Seen is what happened in a practice up to an instant.
type Seen struct {
	Shown   []int          `json:"shown"`           // cues that are to be shown now, in order
	Jump    entry.Millis   `json:"jump_ms"`         // the practice's clock is put on by so much, before the next question
	Next    entry.Millis   `json:"next_ms"`         // nothing new before this instant of the practice's clock, if the learner does nothing
	Waits   run.Waiting    `json:"waits"`           // what the practice waits for
	Hint    run.Hint       `json:"hint"`            // what the learner is to do; empty: nothing
	Doing   []Doing        `json:"doing,omitempty"` // what the program did just now, of a practice that is watched
	Told    bool           `json:"told"`            // slips can be told: ask for them
	Stops   bool           `json:"stops"`           // the practice stands still for slips that were made just now: they are to be told
	OnHold  bool           `json:"on_hold"`         // the puck was just dropped on HOLD: the referee had waited long enough
	Over    bool           `json:"over"`            // the practice is over: ask for the grade
	Seq     int            `json:"seq"`             // of the newest entry: whoever has seen fewer looks again
	Done    int            `json:"done"`            // stoppages that are behind
	Of      int            `json:"of"`              // stoppages that there are
	Cue     int            `json:"cue"`             // the newest that was shown; -1: none
	Box     []script.Boxed `json:"box"`             // who sits in the box of the rink now, by the answer, home first
	Release []script.Boxed `json:"released"`        // whose time is over and who waits to be told to leave
}

// Doing is something that the program did while somebody watches: an entry in words,
// and the first thing that follows from it.
type Doing struct {
	Kind entry.Kind    `json:"kind"`
	In   bool          `json:"in"` // of somebody at the box: they sat down, and did not leave
	Say  rules.Say     `json:"say"`
	Why  *rules.Reason `json:"why,omitempty"`
}

// Deed is something that the learner does beside the ledger.
type Deed struct {
	Do     grade.Do     `json:"do"` // horn, told_out, asked, drafting or drafted
	Side   entry.Side   `json:"side,omitempty"`
	Player entry.Jersey `json:"player,omitempty"`
}

// Frames is how the rink moves from a cue on.
type Frames struct {
	Frames []rink.Frame `json:"frames"`
}

// Told is the slips of the newest stoppage.
type Told struct {
	Findings []grade.Finding `json:"findings"` // none: all was right
	Stops    bool            `json:"stops"`    // the practice stands still for them: they were made just now
	Start    bool            `json:"start"`    // they are about the start of the clock before this stoppage
	Moment   int             `json:"moment"`
	Right    script.Right    `json:"right"`
}

// Graded is a practice when it is over, or as far as it has come.
type Graded struct {
	Grade  grade.Grade `json:"grade"`
	Script ScriptTitle `json:"script"`
	Seat   entry.Seat  `json:"seat"`
	Score  int         `json:"score"` // of the seat, 0 to 100

	// Critical are the errors of the seat that spoil a game.
	Critical []grade.CriticalError `json:"critical"`
}

// Naming says whose practice it was, and on which day.
type Naming struct {
	Name string       `json:"name"`
	Day  progress.Day `json:"day"`
}

// Kept is a result to be kept, with the code by which it can be sent.
type Kept struct {
	Result progress.Result `json:"result"`
	Code   string          `json:"code"`
}

// SentCodes is results as they were sent: codes with spaces or lines between.
type SentCodes struct {
	Text string `json:"text"`
}

// CodesRead is the results that were read, and what could not be.
type CodesRead struct {
	Results []progress.Result `json:"results"`
	Bad     []BadCode         `json:"bad"`
}

// BadCode is a code that could not be read.
type BadCode struct {
	Text string `json:"text"`
	Why  string `json:"why"`
}

// Asking asks what somebody should practise for a seat today.
type Asking struct {
	Results []progress.Result `json:"results"`
	Name    string            `json:"name"`
	Seat    entry.Seat        `json:"seat"`
	Day     progress.Day      `json:"day"`
}

// Today is what somebody should practise, the most urgent first, and how ready
// they are.
type Today struct {
	Due   []progress.Due     `json:"due"`
	Ready progress.Readiness `json:"ready"`
}

// Listing asks who is ready for what.
type Listing struct {
	Results []progress.Result `json:"results"`
	Bar     progress.Bar      `json:"bar"` // without games: the default
	Day     progress.Day      `json:"day"`
}

// Listed is who is ready for what.
type Listed struct {
	Bar   progress.Bar   `json:"bar"`
	Rows  []progress.Row `json:"rows"`
	Table progress.Table `json:"table"`
	CSV   string         `json:"csv"` // RFC 4180, UTF-8 with a byte order mark
}

// Record is a practice to take along: it can be graded again anywhere.
type Record struct {
	Script string      `json:"script"` // as a coordinator writes one
	Ledger string      `json:"ledger"` // one entry a line
	Acts   []grade.Act `json:"acts"`
}
