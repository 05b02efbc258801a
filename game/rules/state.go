package rules

import (
	"cmp"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
)

// State is the game as it should be after the entries of a ledger. It does not
// know what time it is: the clock is an anchor (a position at an instant), and
// every consequence that is still to come stands as a moment on the axis of
// play, as it will be if play goes on without another entry. Whoever shows the
// state compares those moments with the clock.
type State struct {
	Game     string            `json:"game"`
	Seq      int               `json:"seq"` // the newest entry folded
	Opened   bool              `json:"opened"`
	Info     Info              `json:"info"`
	Division rulebook.Division `json:"division"`
	Stage    entry.Stage       `json:"stage"`
	Next     []NextStage       `json:"next"` // what the stage can become; the first is the usual one
	Clock    Clock             `json:"clock"`
	TimeOut  *TimeOutClock     `json:"time_out,omitempty"`
	Delay    *DelayClock       `json:"delay,omitempty"`
	Bench    Bench             `json:"bench"`
	Periods  []PeriodSpan      `json:"periods"`
	Teams    [2]Team           `json:"teams"` // home, visitors
	Goals    []Goal            `json:"goals"` // in the order of the game
	Calls    []Call            `json:"calls"`
	Terms    []Term            `json:"terms"`
	Strength []Strength        `json:"strength"`      // steps of the skaters on the ice, oldest first
	Releases []Release         `json:"releases"`      // who leaves the box when, oldest first
	Due      []Leaving         `json:"due,omitempty"` // those of them that somebody has to be told of, now or later
	Hold     []Item            `json:"hold"`          // what stands in the way of the puck drop
	Notices  []Item            `json:"notices"`       // what may soon have to be done; quiet
	Owed     []Item            `json:"owed"`          // what is missing before the report can be sealed
	Asked    []Question        `json:"asked"`         // what the book leaves to a captain
	Book     Book              `json:"book"`
	Lines    []Line            `json:"lines"` // the ledger in words, oldest first
}

// Info is what the first entry says about the game.
type Info struct {
	Number   string `json:"number,omitempty"`
	Schedule string `json:"schedule,omitempty"` // id of the game in the league's schedule
	Venue    string `json:"venue,omitempty"`
	Date     string `json:"date,omitempty"`
	Code     string `json:"code"`      // id of the rule body's code
	Book     string `json:"code_name"` // its name in words
}

// NextStage is a stage that may follow, with the length of its clock.
type NextStage struct {
	Stage   entry.Stage  `json:"stage"`
	Length  entry.Millis `json:"length_ms"`
	Running bool         `json:"running"` // whether its clock starts at once
}

// Clock is the clock of the stage: Elapsed was on it at the instant Wall. While
// it runs, elapsed grows with the wall clock up to Length.
type Clock struct {
	Running bool         `json:"running"`
	Elapsed entry.Millis `json:"elapsed_ms"`
	Wall    entry.Millis `json:"wall_ms"` // milliseconds of Unix time
	Length  entry.Millis `json:"length_ms"`
	Error   entry.Millis `json:"error_ms"` // bound of the anchor's error
	Doubt   *Doubt       `json:"doubt,omitempty"`
}

// At returns the elapsed time at the instant wall, never beyond the length.
func (c Clock) At(wall entry.Millis) entry.Millis {
	elapsed := c.Elapsed
	if c.Running && wall > c.Wall {
		elapsed += wall - c.Wall
	}
	if c.Length > 0 && elapsed > c.Length {
		elapsed = c.Length
	}
	return elapsed
}

// TimeOutClock is a time-out that was begun at the instant Wall. It is over
// after Length, or when the clock is started again.
type TimeOutClock struct {
	Side   entry.Side   `json:"side,omitempty"` // empty: the officials' own
	Wall   entry.Millis `json:"wall_ms"`
	Length entry.Millis `json:"length_ms"`
}

// DelayClock is a delay that was begun at the instant Wall. It counts down from
// Length, or up if Length is 0, until it is ended or the clock is started.
type DelayClock struct {
	Why    entry.DelayWhy `json:"why"`
	Wall   entry.Millis   `json:"wall_ms"`
	Length entry.Millis   `json:"length_ms"`
}

// Bench is how the bench works.
type Bench struct {
	Clock        entry.ClockMode `json:"clock"`
	ConfirmBox   bool            `json:"confirm_box"`
	WaitForTicks bool            `json:"wait_for_ticks"`
	Names        bool            `json:"names"`
	OnIce        bool            `json:"on_ice"`
	FaceOffs     bool            `json:"face_offs"`
	SlotEnd      entry.Millis    `json:"slot_end_ms,omitempty"` // when the ice time ends, as somebody said; 0: as the division says
	RunningTime  bool            `json:"running_time"`          // the clock runs through stoppages
	Drift        *entry.Millis   `json:"drift_ms,omitempty"`    // ours less the board's at the last reading
}

// PeriodSpan is a period on the axis of play. Abs is where it begins: the sum
// of the lengths of the periods before it.
type PeriodSpan struct {
	Period  int          `json:"period"`
	Stage   entry.Stage  `json:"stage"`
	Abs     entry.Millis `json:"abs_ms"`
	Length  entry.Millis `json:"length_ms"`
	Skaters int          `json:"skaters"` // of a side at full strength
	Begun   bool         `json:"begun"`
}

// Moment is a moment of play in every form that a screen needs.
type Moment struct {
	Abs     entry.Millis `json:"abs_ms"` // on the axis of play, from the first face-off
	Period  int          `json:"period"`
	Elapsed entry.Millis `json:"elapsed_ms"`
	Left    entry.Millis `json:"left_ms"` // what the period's clock shows, counting down
}

// Team is a side as it stands.
type Team struct {
	Side    entry.Side     `json:"side"`
	Name    string         `json:"name"`
	Players []entry.Player `json:"players"`

	Staff    []entry.Official `json:"staff"`
	Score    int              `json:"score"`
	Shown    int              `json:"shown"`     // the score for the public display, where a division caps the lead
	TimeOuts int              `json:"time_outs"` // taken

	// Goalkeeper is who keeps goal, if it was said; "" with NetEmpty is nobody.
	Goalkeeper entry.Jersey `json:"goalkeeper"`
	NetEmpty   bool         `json:"net_empty"`

	// Withdrawn are the numbers of players whose name was taken out of the game.
	Withdrawn []entry.Jersey `json:"withdrawn,omitempty"`

	Colour string `json:"colour,omitempty"` // of the club, as it was entered
}

// Class is the class of a goal in the official record, from the scorers' side.
type Class string

// The classes of a goal.
const (
	EvenStrength Class = "even"
	PowerPlay    Class = "power_play"
	ShortHanded  Class = "short_handed"
)

// Goal is a goal of the official record.
type Goal struct {
	Entry    string         `json:"entry"`
	Moment   Moment         `json:"moment"`
	Side     entry.Side     `json:"side"`
	Scorer   entry.Jersey   `json:"scorer"`
	Assists  []entry.Jersey `json:"assists"`
	Class    Class          `json:"class"`
	On       entry.GoalOn   `json:"on,omitempty"`
	EmptyNet bool           `json:"empty_net"`
	OwnGoal  bool           `json:"own_goal"`
	OnIce    entry.OnIce    `json:"on_ice,omitzero"`
	Skaters  [2]int         `json:"skaters"` // on the ice when it was scored
	Score    [2]int         `json:"score"`   // after it
	Reasons  []Reason       `json:"reasons"`
}

// Call is a call of the official record. It may have been wiped out by a goal.
type Call struct {
	Entry   string       `json:"entry"`
	Moment  Moment       `json:"moment"`
	Side    entry.Side   `json:"side"`
	Player  entry.Jersey `json:"player"`
	Bench   bool         `json:"bench"`
	Call    string       `json:"call"`
	Parts   []entry.Part `json:"parts"`
	Charged entry.Millis `json:"charged_ms"`        // penalty minutes in the record
	WarmUp  bool         `json:"warm_up,omitempty"` // called before the first face-off, served from then on
	Reasons []Reason     `json:"reasons"`
}

// Ended says how a term ended.
type Ended string

// The ends of a term. A term that is still to come or running will end by time.
const (
	ByTime Ended = "time"
	ByGoal Ended = "goal"
	Wiped  Ended = "wiped" // signalled, and wiped out by a goal: never served
	// NotServed: nobody has to sit for it, because the player was sent off.
	NotServed Ended = "not_served"
)

// Door says how a player leaves the box after a term.
type Door string

// The doors.
const (
	AtEnd       Door = "at_end"       // the moment the term is over
	NextWhistle Door = "next_whistle" // at the first stoppage after it is over
	AtWhistle   Door = "at_whistle"   // left at a stoppage, having waited for it
	NoDoor      Door = "none"         // stays for the next term, or never sat down
)

// Term is one part of a call as it is served.
type Term struct {
	ID       string       `json:"id"` // entry, slash, index of the part
	Entry    string       `json:"entry"`
	Row      string       `json:"row"` // terms with the same row follow one another on one line of a lane
	Side     entry.Side   `json:"side"`
	Player   entry.Jersey `json:"player"` // who was called; empty: the bench, or owed
	Bench    bool         `json:"bench"`
	Sits     entry.Jersey `json:"sits"` // who sits in the box for it; empty: not known, or nobody
	Part     entry.Part   `json:"part"`
	Call     string       `json:"call"`
	Length   entry.Millis `json:"length_ms"`
	Start    Moment       `json:"start"`
	End      Moment       `json:"end"`
	Resumed  *Moment      `json:"resumed,omitempty"` // when it last went on after another penalty of the player
	Ended    Ended        `json:"ended"`
	Cut      entry.Millis `json:"cut_ms"`    // time that a goal took away
	Costs    bool         `json:"costs"`     // the side plays with a skater fewer while it runs
	GoalEnds bool         `json:"goal_ends"` // a goal against a short-handed side may end it
	Matched  bool         `json:"matched"`   // coincidental
	OnClock  bool         `json:"on_clock"`  // shown by a penalty clock
	Waits    bool         `json:"waits"`     // its start had to wait for another penalty to end
	Door     Door         `json:"door"`
	Out      *Moment      `json:"out,omitempty"` // when whoever sits leaves; absent: at a whistle still to come
	Reasons  []Reason     `json:"reasons"`
}

// Strength is the number of skaters on the ice from a moment on, goalkeepers
// not counted. Entries of the future hold if play goes on without a whistle.
type Strength struct {
	From    Moment `json:"from"`
	Skaters [2]int `json:"skaters"` // home, visitors
}

// Release is somebody leaving the box, or free to leave at the next whistle.
type Release struct {
	Moment Moment       `json:"moment"`
	Side   entry.Side   `json:"side"`
	Term   string       `json:"term"` // the last term of the row
	Sits   entry.Jersey `json:"sits"`
	Door   Door         `json:"door"` // AtEnd: comes out then; NextWhistle: free from then on
	Why    Say          `json:"why"`
}

// Reason is why something follows: which book is followed, which rule of it,
// and one plain sentence.
type Reason struct {
	Code string `json:"code"`
	Rule string `json:"rule"`
	Say  Say    `json:"say"`
}

// Item is something that holds the puck drop, is asked quietly or is owed to the
// book.
type Item struct {
	Key   string `json:"key"` // stable, to set it aside
	Entry string `json:"entry,omitempty"`
	Say   Say    `json:"say"`

	// Settle is what one tap posts to settle it; nothing where it takes more.
	Settle     entry.Body `json:"settle,omitempty"`
	SettleKind entry.Kind `json:"settle_kind,omitempty"`
	SettleSay  *Say       `json:"settle_say,omitempty"` // what that tap says; absent: "Yes"
	AsideSay   *Say       `json:"aside_say,omitempty"`  // what setting it aside says; absent: "Set aside"
	Others     []Tap      `json:"others,omitempty"`     // further ways to settle it, one tap each

	From  *Moment `json:"from,omitempty"`  // asked from this moment of play on; absent: now
	Aside bool    `json:"aside,omitempty"` // owed, and set aside until the next break
}

// Tap is one more way to settle an item.
type Tap struct {
	Say        Say        `json:"say"`
	Settle     entry.Body `json:"settle"`
	SettleKind entry.Kind `json:"settle_kind"`
}

// Question is something that the book leaves to a captain. Until it is answered
// the fold goes on with Default.
type Question struct {
	ID       string         `json:"id"`
	Side     entry.Side     `json:"side"`
	Moment   Moment         `json:"moment"`  // when the answer counts
	Now      bool           `json:"now"`     // must be answered before the puck drops
	Players  []entry.Jersey `json:"players"` // to choose from
	Count    int            `json:"count"`   // how many to name
	Default  []entry.Jersey `json:"default"`
	Answered bool           `json:"answered"`
	Open     bool           `json:"open"` // still to be asked at this stoppage
	Say      Say            `json:"say"`
	Reason   Reason         `json:"reason"`
}

// Line is an entry in words, with what followed from it.
type Line struct {
	Entry   string       `json:"entry"`
	Seq     int          `json:"seq"`
	Kind    entry.Kind   `json:"kind"`
	Moment  Moment       `json:"moment"`
	Wall    entry.Millis `json:"wall_ms"`
	Seat    entry.Seat   `json:"seat"`
	By      string       `json:"by,omitempty"`
	Of      string       `json:"of,omitempty"`   // the entry that it amends or strikes
	Root    string       `json:"root,omitempty"` // the entry that an edit of an edit is about in the end
	Body    entry.Body   `json:"body"`           // as amended
	Say     Say          `json:"say"`
	Follows []Reason     `json:"follows"` // consequences, in the order they happen
	Struck  bool         `json:"struck"`
	Amended bool         `json:"amended"`
}

// About is the entry that a line is about in the end: itself, or what it amends or
// strikes, through any number of edits.
func (l *Line) About() string {
	return cmp.Or(l.Root, l.Of, l.Entry)
}

// About is what the entry with an id is about in the end; of one that is not
// there, the id.
func (s *State) About(id string) string {
	for i := len(s.Lines) - 1; i >= 0; i-- {
		if s.Lines[i].Entry == id {
			return s.Lines[i].About()
		}
	}
	return id
}

// Preview is what a tentative entry would do.
type Preview struct {
	Says     []Say     `json:"says"`     // the sentence of consequences, in order
	Warnings []Say     `json:"warnings"` // accepted, but look again
	Refused  []Refusal `json:"refused"`  // cannot be posted
	State    State     `json:"state"`    // the game as it would be
	Fresh    []int     `json:"-"`        // places of the lines that were worked out for it
}

// Refusal is why an entry cannot be posted, and what to do.
type Refusal struct {
	Entry string `json:"entry,omitempty"` // id of the entry refused
	Field string `json:"field,omitempty"`
	Say   Say    `json:"say"`
}
