package report

import (
	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
)

// SchemaID is the $id of the published schema of a Document, and Version the form
// that it describes. A form that other programs would read wrongly is another
// version.
const (
	SchemaID = "urn:whistlestop:schema:report:1"
	Version  = 1
)

// Document is the official report of one game, neutral before any format: what
// a page, a spreadsheet or another program shows of it. It has numbers, names
// and keys of the catalogue, and no sentence of any language. Lists are never
// nil, so that they are written as lists in JSON.
type Document struct {
	Schema  string `json:"$schema"` // SchemaID
	Version int    `json:"version"` // of this form, Version

	Game     string               `json:"game"`     // id of the game
	Seq      int                  `json:"seq"`      // the newest entry that it was made from
	Times    rulebook.ReportTimes `json:"times"`    // how every Text of a Stamp is written: stated on the page
	Head     Head                 `json:"head"`     //
	Finished bool                 `json:"finished"` // the game was ended
	Score    Score                `json:"score"`    //
	Periods  []Period             `json:"periods"`  // those that were begun

	Teams     [2]Roster        `json:"teams"` // home, visitors
	Officials []entry.Official `json:"officials"`
	Crew      []entry.Official `json:"crew"`

	Goals       []GoalLine       `json:"goals"`
	Penalties   []PenaltyLine    `json:"penalties"` // each part of a call on a line of its own
	Shots       []ShotLine       `json:"shots"`     // by period, side and goalkeeper; empty where none were kept
	Goalkeepers []GoalkeeperLine `json:"goalkeepers"`
	Changes     []GoalkeeperLog  `json:"goalkeeper_changes"`
	TimeOuts    []TimeOutLine    `json:"time_outs"`
	Attempts    []AttemptLine    `json:"attempts"` // penalty shots and the shoot-out
	ShootOut    *ShootOut        `json:"shoot_out,omitempty"`
	Notes       []NoteLine       `json:"notes"`  // incidents and remarks
	Delays      []DelayLine      `json:"delays"` // injuries, ice, equipment
	Totals      Totals           `json:"totals"`

	Owed        []rules.Item `json:"owed"` // what is still missing
	Corrections Corrections  `json:"corrections"`
	Signatures  []Signature  `json:"signatures"`
	Seals       []Seal       `json:"seals"` // oldest first; the last one counts
	Sealed      bool         `json:"sealed"`

	// What the game was played under, and what the audit needs to play it again.
	Division  rulebook.Division `json:"rules"`
	Stoppages []entry.At        `json:"stoppages"`
	Choices   []entry.Choice    `json:"choices"`
}

// Head is what stands at the top of a report.
type Head struct {
	Number   string `json:"number,omitempty"`   // of the game, as the league counts
	Schedule string `json:"schedule,omitempty"` // id of the game in the league's schedule
	League   string `json:"league,omitempty"`
	Division string `json:"division"`
	Venue    string `json:"venue,omitempty"`
	Date     string `json:"date,omitempty"` // as people write it, YYYY-MM-DD
	Code     string `json:"code"`           // id of the rule body's code
	Book     string `json:"code_name"`      // its name in words

	// Started is when the first period really began, Finished when the game was
	// ended: milliseconds of Unix time, from the instants of the entries. 0: not
	// yet.
	Started  entry.Millis `json:"started_ms,omitempty"`
	Finished entry.Millis `json:"finished_ms,omitempty"`

	Running bool `json:"running_clock,omitempty"` // the clock ran through stoppages at some time of the game
}

// Stamp is a moment of play as a report writes it: whole seconds, tenths that
// are left rounded up, so that elapsed and left add up to the period (IIHF
// 2025/26 Rules 33.2 and 35.6).
type Stamp struct {
	Period  int          `json:"period"`
	Elapsed entry.Millis `json:"elapsed_ms"`
	Left    entry.Millis `json:"left_ms"`
	Text    string       `json:"text"`   // in the form of the document's Times, such as "4:11"
	Abs     entry.Millis `json:"abs_ms"` // on the axis of play, exact; orders moments
}

// Period is a period that was begun.
type Period struct {
	Period int          `json:"period"` // overtime follows regulation
	Stage  entry.Stage  `json:"stage"`
	Length entry.Millis `json:"length_ms"`
	Abs    entry.Millis `json:"abs_ms"` // where it begins on the axis of play
	Played entry.Millis `json:"played_ms"`
	Goals  [2]int       `json:"goals"`
	Shots  *[2]int      `json:"shots,omitempty"` // absent where none were kept
}

// Score is the final score, or the score so far. A shoot-out adds one goal to
// its winner's side, and to nobody's player (IIHF 2025/26 Rule 84.4).
type Score struct {
	Play    [2]int     `json:"play"`  // goals scored in play
	Final   [2]int     `json:"final"` // with the goal of a shoot-out
	Shown   [2]int     `json:"shown"` // for the public display, where a division caps the lead
	Winner  entry.Side `json:"winner,omitempty"`
	Decided DecidedIn  `json:"decided,omitempty"`
}

// DecidedIn is where a game was decided.
type DecidedIn string

// Where a game may be decided. The empty value: not yet, or nobody won.
const (
	Undecided    DecidedIn = ""
	InRegulation DecidedIn = "regulation"
	InOvertime   DecidedIn = "overtime"
	InShootOut   DecidedIn = "shoot_out"
)

// Roster is a team with everybody who came to the game.
type Roster struct {
	Side      entry.Side       `json:"side"`
	Name      string           `json:"name"`
	Players   []entry.Player   `json:"players"` // by number
	Staff     []entry.Official `json:"staff"`
	Confirmed string           `json:"confirmed,omitempty"` // who confirmed the roster for the team

	// Withdrawn are the numbers of players whose name was taken out of the game.
	// What strangers may read has a dash for them.
	Withdrawn []entry.Jersey `json:"withdrawn,omitempty"`
}

// GoalLine is a goal.
type GoalLine struct {
	Entry      string            `json:"entry"`
	Number     int               `json:"number"` // of the game, from 1
	At         Stamp             `json:"at"`
	Side       entry.Side        `json:"side"`
	Scorer     entry.Jersey      `json:"scorer"`
	Assists    []entry.Jersey    `json:"assists"`
	Unassisted bool              `json:"unassisted"`
	Class      rules.Class       `json:"class"`
	On         entry.GoalOn      `json:"on,omitempty"`
	EmptyNet   bool              `json:"empty_net"`
	OwnGoal    bool              `json:"own_goal"`
	Goalkeeper entry.Jersey      `json:"goalkeeper"` // in the net that was scored on; empty: nobody, or not kept
	Skaters    [2]int            `json:"skaters"`
	OnIce      [2][]entry.Jersey `json:"on_ice"` // home, visitors; empty where it is not kept
	Score      [2]int            `json:"score"`  // after it
	Reasons    []rules.Reason    `json:"reasons"`
}

// PenaltyLine is one part of a call: every part has a line of its own, also for
// one player and one incident.
type PenaltyLine struct {
	Entry     string       `json:"entry"`
	Part      int          `json:"part"`              // index of the part within the call
	Off       Stamp        `json:"off"`               // when it was called
	WarmUp    bool         `json:"warm_up,omitempty"` // called in warm-up: Off is the first face-off
	Side      entry.Side   `json:"side"`
	Player    entry.Jersey `json:"player"`
	Bench     bool         `json:"bench"`
	ServedBy  entry.Jersey `json:"served_by"` // where somebody else sits
	Call      string       `json:"call"`      // id of the infraction; its words are the message "call." and the id
	Kind      entry.Part   `json:"kind"`
	Length    entry.Millis `json:"length_ms"`  // of the time served
	Charged   entry.Millis `json:"charged_ms"` // penalty minutes in the record
	Start     *Stamp       `json:"start,omitempty"`
	End       *Stamp       `json:"end,omitempty"` // when its time was over
	On        *Stamp       `json:"on,omitempty"`  // when whoever sat left the box
	How       rules.Ended  `json:"how,omitempty"` // how it ended; empty: nothing is served for it
	Wiped     bool         `json:"wiped"`         // signalled, and wiped out by a goal: written, not served
	Matched   bool         `json:"matched"`       // coincidental
	Waited    bool         `json:"waited"`        // its start had to wait
	Running   bool         `json:"running"`       // not over when the game was, or yet
	Given     bool         `json:"given"`         // the referee gave it a length of its own
	Signalled bool         `json:"signalled"`     // the referee's arm was up before the whistle
}

// ShotLine are the shots on goal by a side in a period against one goalkeeper.
type ShotLine struct {
	Period     int          `json:"period"`
	Side       entry.Side   `json:"side"`       // that shot
	Goalkeeper entry.Jersey `json:"goalkeeper"` // of the other side; empty: nobody, or not kept
	Shots      int          `json:"shots"`
	Goals      int          `json:"goals"`
	Saves      int          `json:"saves"`
}

// GoalkeeperLine are the figures of a goalkeeper.
type GoalkeeperLine struct {
	Side         entry.Side   `json:"side"`
	Number       entry.Jersey `json:"number"`
	Name         string       `json:"name,omitempty"`
	Time         entry.Millis `json:"time_ms"` // in the net, whole seconds
	Shots        *int         `json:"shots,omitempty"`
	GoalsAgainst int          `json:"goals_against"`
	Saves        *int         `json:"saves,omitempty"`

	// SaveShare is saves of shots in thousandths, rounded half up: 923 is .923.
	SaveShare *int `json:"save_share,omitempty"`
}

// GoalkeeperLog is a change in goal. An empty Number is an empty net.
type GoalkeeperLog struct {
	Entry  string       `json:"entry"`
	At     Stamp        `json:"at"`
	Side   entry.Side   `json:"side"`
	Number entry.Jersey `json:"number"`
}

// TimeOutLine is a time-out. An empty Side is the officials' own.
type TimeOutLine struct {
	Entry  string       `json:"entry"`
	At     Stamp        `json:"at"`
	Side   entry.Side   `json:"side,omitempty"`
	Length entry.Millis `json:"length_ms"`
}

// AttemptLine is a penalty shot that missed, or an attempt of the shoot-out.
type AttemptLine struct {
	Entry      string       `json:"entry"`
	At         Stamp        `json:"at"`
	Side       entry.Side   `json:"side"`
	Player     entry.Jersey `json:"player"`
	Goalkeeper entry.Jersey `json:"goalkeeper"`
	Scored     bool         `json:"scored"`
	ShootOut   bool         `json:"shoot_out"`
}

// ShootOut is the outcome of a shoot-out.
type ShootOut struct {
	Goals   [2]int     `json:"goals"`
	Tries   [2]int     `json:"tries"`
	Winner  entry.Side `json:"winner,omitempty"`
	Decided bool       `json:"decided"`
}

// NoteLine is a remark for the book.
type NoteLine struct {
	Entry string       `json:"entry"`
	At    Stamp        `json:"at"`
	Wall  entry.Millis `json:"wall_ms"`
	About entry.About  `json:"about,omitempty"`
	Text  string       `json:"text"`

	// Whom it lets play although suspended; empty of every other note.
	Side   entry.Side   `json:"side,omitempty"`
	Player entry.Jersey `json:"player,omitempty"`
}

// DelayLine is a delay of the game.
type DelayLine struct {
	Entry string         `json:"entry"`
	At    Stamp          `json:"at"`
	Wall  entry.Millis   `json:"wall_ms"`
	Why   entry.DelayWhy `json:"why"`
}

// Corrections counts what was put right, and lists what.
type Corrections struct {
	Amended int          `json:"amended"`
	Struck  int          `json:"struck"`
	List    []Correction `json:"list"`
}

// Correction is one amendment or strike.
type Correction struct {
	Entry  string       `json:"entry"`
	Of     string       `json:"of"`
	Wall   entry.Millis `json:"wall_ms"`
	By     string       `json:"by,omitempty"`
	Struck bool         `json:"struck"`
	Reason string       `json:"reason,omitempty"`
	Say    rules.Say    `json:"say"` // what the entry says now, or said
}

// Signature is a signature, drawn or given by name and code.
type Signature struct {
	Entry   string       `json:"entry"`
	Role    entry.Role   `json:"role"`
	Name    string       `json:"name"`
	Code    string       `json:"code,omitempty"`
	Drawing string       `json:"drawing,omitempty"` // an SVG path
	Wall    entry.Millis `json:"wall_ms"`
}

// Seal closed the report at some time.
type Seal struct {
	Entry     string       `json:"entry"`
	Version   int          `json:"version"` // from 1
	Head      string       `json:"head"`    // hash of the entry before the seal
	Replaces  string       `json:"replaces,omitempty"`
	Missing   string       `json:"missing,omitempty"` // why something is still owed
	Key       string       `json:"key,omitempty"`     // Ed25519, base64
	Signature string       `json:"signature,omitempty"`
	Wall      entry.Millis `json:"wall_ms"`

	// Fingerprint is the short form of the seal, as it stands on paper. It takes
	// the ledger to make it.
	Fingerprint string `json:"fingerprint"`
}
