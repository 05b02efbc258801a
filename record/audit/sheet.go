package audit

import (
	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
)

// Sheet is a record of a game as somebody wrote it: a claim, of which every
// part may be wrong. A report of ours is one (SheetOf), a paper sheet that was
// typed into a file is one, and the record of another program. What is not
// claimed is left out, and not audited.
type Sheet struct {
	Division rulebook.Division
	Times    rulebook.ReportTimes // how findings write times
	Exact    bool                 // times are exact, not cut or rounded to whole seconds
	Finished bool                 // nothing more is to come
	Played   entry.Millis         // play on the axis; 0: what the periods come to

	Teams   [2]SheetTeam
	Periods []SheetPeriod // that were played; none: those that the lines name

	Goals       []SheetGoal
	Calls       []SheetCall
	Shots       []SheetShots
	Changes     []SheetChange     // in goal, also who began
	Goalkeepers []SheetGoalkeeper // figures of goalkeepers
	Players     []SheetPlayer     // figures of players
	TimeOuts    []SheetTimeOut
	Attempts    []SheetAttempt

	Totals   []SheetTotal
	ShootOut entry.Side // who won it, if there was one

	// What only a bench knows. A sheet without them is played from its lines.
	Stoppages []entry.At
	Choices   []entry.Choice
}

// Place is where a line stands: in which row of a file, or from which entry.
type Place struct {
	Row    int
	Entry  string
	Side   entry.Side
	At     entry.At // may be outside the period
	NoTime bool     // the line has no time
}

// SheetTeam is a team. No players: there is no roster to hold numbers against.
type SheetTeam struct {
	Name    string
	Players []SheetMember
}

// SheetMember is a line of a roster.
type SheetMember struct {
	Row        int
	Number     entry.Jersey
	Name       string
	Goalkeeper bool
	Captain    bool
	Alternate  bool
	Away       string // why the player takes no part, such as "suspended"; empty: dressed
}

// SheetPeriod is a period that was played.
type SheetPeriod struct {
	Period int
	Length entry.Millis // 0: as the division says
}

// SheetGoal is a goal.
type SheetGoal struct {
	Place
	Scorer     entry.Jersey
	Assists    []entry.Jersey
	Class      rules.Class // empty: not claimed
	On         entry.GoalOn
	EmptyNet   bool
	OwnGoal    bool
	Unassisted bool
	Nameless   bool         // the sheet keeps no scorers, so that none is owed
	Goalkeeper entry.Jersey // in the net that was scored on; empty: not claimed
	OnIce      [2][]entry.Jersey
	Score      *[2]int // after it
}

// SheetCall is a line of the penalties: one part of a call, or several.
type SheetCall struct {
	Place
	First     int // index of the first part within the entry's call
	Player    entry.Jersey
	Bench     bool
	ServedBy  entry.Jersey
	Call      string
	Parts     []entry.Part
	Given     entry.Millis  // a length that the referee gave; 0: the division's
	Charged   *entry.Millis // minutes written
	Start     *entry.At
	End       *entry.At // its time was over
	On        *entry.At // whoever sat came out
	Signalled bool
	Wiped     bool // written as wiped out by a goal
	Nameless  bool // the sheet keeps no calls, so that none is owed
	Endless   bool // the sheet keeps no ends of penalties, so that none is owed
}

// SheetShots are shots on goal by a side in a period.
type SheetShots struct {
	Row        int
	Period     int
	Side       entry.Side // that shot
	Goalkeeper entry.Jersey
	Count      int
}

// SheetChange is a change in goal; an empty number is an empty net.
type SheetChange struct {
	Place
	Number entry.Jersey
}

// SheetGoalkeeper are the figures claimed for a goalkeeper.
type SheetGoalkeeper struct {
	Row          int
	Side         entry.Side
	Number       entry.Jersey
	Time         *entry.Millis
	Shots        *int
	GoalsAgainst *int
	Saves        *int
}

// SheetPlayer are the figures claimed for a player.
type SheetPlayer struct {
	Row     int
	Side    entry.Side
	Number  entry.Jersey
	Goals   int
	Assists int
	Minutes entry.Millis
}

// SheetTimeOut is a time-out. An empty side is the officials' own.
type SheetTimeOut struct{ Place }

// SheetAttempt is a penalty shot that missed, or an attempt of the shoot-out.
type SheetAttempt struct {
	Place
	Player   entry.Jersey
	Scored   bool
	ShootOut bool
}

// Total names a total of a side.
type Total string

// The totals that a sheet may claim. Goals and shots may be claimed for a
// period, and goals as the final score.
const (
	TotalGoals          Total = "goals"
	TotalScore          Total = "score" // with the goal of a shoot-out
	TotalShots          Total = "shots"
	TotalPenalties      Total = "penalties"
	TotalMinutes        Total = "minutes"
	TotalPowerPlayGoals Total = "power_play_goals"
	TotalChances        Total = "power_plays"
)

// SheetTotal is a total of a side. Minutes are whole minutes, rounded down.
type SheetTotal struct {
	Row    int
	Total  Total
	Side   entry.Side
	Period int // 0: of the game
	Count  int
}
