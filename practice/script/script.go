package script

import (
	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
	"whistlestop/practice/plot"
)

// Script is a practice game, fully determined: every cue at its instant, and the
// ledger of a bench without a slip.
type Script struct {
	ID       string            `json:"id"`
	Title    string            `json:"title"`
	Level    int               `json:"level"`
	Seed     uint32            `json:"seed"`
	Skills   []plot.Skill      `json:"skills"` // those that its game really asks for
	Division rulebook.Division `json:"division"`
	Home     entry.Team        `json:"home"`
	Visitors entry.Team        `json:"visitors"`
	Clock    entry.ClockMode   `json:"clock"`
	Box      bool              `json:"box"`
	Short    bool              `json:"short"` // a drill

	Length  entry.Millis `json:"length_ms"` // of the whole, if nobody keeps the referee waiting
	Cues    []Cue        `json:"cues"`
	Answers []Answer     `json:"answers"`
	Given   int          `json:"given"` // so many answers stand in the ledger before the learner begins
	Moments []Moment     `json:"moments"`
	Plot    plot.Plot    `json:"plot"`
}

// Cue is something that the learner sees or hears, and that may ask for entries.
type Cue struct {
	Real entry.Millis `json:"real_ms"` // since the script's start
	At   entry.At     `json:"at"`      // where play stands
	Kind CueKind      `json:"kind"`

	Running bool `json:"running"` // whether the game's clock runs from this cue on

	Why     plot.Why       `json:"why,omitempty"`    // of a whistle
	Signal  string         `json:"signal,omitempty"` // of the referee: "goal", "no_goal", "arm_up", "time_out", or the id of a call
	Side    entry.Side     `json:"side,omitempty"`
	Player  entry.Jersey   `json:"player,omitempty"`
	Assists []entry.Jersey `json:"assists,omitempty"`
	By      Speaker        `json:"by,omitempty"`
	Say     *rules.Say     `json:"say,omitempty"`     // what is said
	Repeat  *rules.Say     `json:"repeat,omitempty"`  // what is said when the learner asks again
	Wait    entry.Millis   `json:"wait_ms,omitempty"` // how long the referee waits for the bench
}

// CueKind says what a cue is.
type CueKind string

// The kinds of cue.
const (
	CueLineUp    CueKind = "line_up"    // the players line up, the referee looks to the bench
	CueDrop      CueKind = "drop"       // the puck is dropped
	CueArm       CueKind = "arm"        // the referee's arm goes up while play goes on
	CueWhistle   CueKind = "whistle"    //
	CueRunsOut   CueKind = "runs_out"   // the clock of a period is at 0:00
	CueSignal    CueKind = "signal"     // the referee signals
	CueWords     CueKind = "words"      // somebody says something to the bench
	CueSits      CueKind = "sits"       // a player goes into the box
	CueCrowd     CueKind = "crowd"      //
	CueBreakOver CueKind = "break_over" // an intermission's clock is at 0:00
	CueEnd       CueKind = "end"        // the practice is over
)

// Speaker is who says something to the bench.
type Speaker string

// Who speaks.
const (
	ByReferee Speaker = "referee"
	ByCaptain Speaker = "captain"
	ByCoach   Speaker = "coach"
	ByParent  Speaker = "parent"
	ByPlayer  Speaker = "player"
)

// Answer is an entry that a cue asks for. Its entry has the time of the game, the
// seat whose work it is, and the instant at which a bench without a slip posts it.
type Answer struct {
	Cue   int         `json:"cue"` // -1: before the learner begins
	Entry entry.Entry `json:"entry"`
}

// Moment is a stoppage of a script: the cues from the whistle to the next drop.
// The first one is what lies before the first drop.
type Moment struct {
	From  int      `json:"from"` // the first cue
	To    int      `json:"to"`   // the last cue
	At    entry.At `json:"at"`
	Right Right    `json:"right"`
}

// Right is the game as it should stand at a stoppage, once all is entered.
type Right struct {
	Stage   entry.Stage  `json:"stage"`
	Left    entry.Millis `json:"left_ms"` // on the clock of the period
	Score   [2]int       `json:"score"`
	Skaters [2]int       `json:"skaters"` // for the next face-off
	Box     []Boxed      `json:"box"`     // home first
}

// Boxed is a penalty at a stoppage.
type Boxed struct {
	Side   entry.Side   `json:"side"`
	Player entry.Jersey `json:"player"` // who was called; empty: the bench
	Sits   entry.Jersey `json:"sits"`
	Part   entry.Part   `json:"part"`
	Left   entry.Millis `json:"left_ms"` // if no goal ends it
	Starts bool         `json:"starts"`  // it has not begun: it follows another
}

// Start is the instant at which every script begins, in milliseconds of Unix
// time: 2026-01-10 18:00:00 UTC. Instants of a learner are compared with the
// cues as the learner saw them, so it means nothing.
const Start = entry.Millis(1_768_068_000_000)

// Ledger is the ledger of a bench without a slip.
func (s Script) Ledger() []entry.Entry { return s.upTo(len(s.Answers)) }

// GivenLedger is what stands in the ledger before the learner begins.
func (s Script) GivenLedger() []entry.Entry { return s.upTo(s.Given) }

func (s Script) upTo(n int) []entry.Entry {
	ledger := make([]entry.Entry, n)
	for i := range ledger {
		ledger[i] = s.Answers[i].Entry
	}
	return ledger
}

// State is the game at the end of the script.
func (s Script) State() (rules.State, error) { return rules.Fold(s.Ledger()) }

// Text writes the script as a coordinator writes one.
func (s Script) Text() string { return s.Plot.Text() }

// HeardDoor is what a player at the door of the box says.
const HeardDoor = "drill.heard.player_door"

// Noise reports whether a cue is there to get in the way: nothing has to be done
// about it, or not yet.
func (c Cue) Noise() bool {
	return c.Kind == CueWords && (c.By == ByParent || c.By == ByCoach || c.By == ByPlayer && c.Say.Key == HeardDoor)
}
