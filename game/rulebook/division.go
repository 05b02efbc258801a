package rulebook

import "whistlestop/game/entry"

// Division is the settings of one age group in one league. In a division file
// times are written "1:30"; in JSON they are milliseconds. Everything is
// optional but the id, the name, the code, the periods, the skaters and the
// lengths of the penalties: what a division does not say it does not have.
type Division struct {
	ID     string `json:"id" toml:"id"`
	Name   string `json:"name" toml:"name"`
	League string `json:"league,omitempty" toml:"league"`
	Code   string `json:"code" toml:"code"` // id of the rule body's code

	WarmUp        entry.Millis   `json:"warm_up_ms" toml:"warm_up"`
	Periods       []entry.Millis `json:"periods_ms" toml:"periods"`             // each regulation period
	Intermissions []entry.Millis `json:"intermissions_ms" toml:"intermissions"` // after each but the last
	Skaters       int            `json:"skaters" toml:"skaters"`                // of a side at full strength
	Lengths       Lengths        `json:"lengths" toml:"lengths"`

	// ShortGoalFrees says that a short-handed goal ends a minor of the side that
	// scored, as one professional league plays it.
	ShortGoalFrees bool `json:"short_goal_frees,omitempty" toml:"short_goal_frees"`

	Clock    ClockRule `json:"clock,omitzero" toml:"clock"`
	Running  Running   `json:"running,omitzero" toml:"running"`
	Slot     Slot      `json:"slot,omitzero" toml:"slot"`
	Overtime Overtime  `json:"overtime" toml:"overtime"`
	ShootOut ShootOut  `json:"shoot_out" toml:"shoot_out"`
	TimeOut  TimeOut   `json:"time_out" toml:"time_out"`
	Limits   Limits    `json:"limits,omitzero" toml:"limits"`
	Display  Display   `json:"display,omitzero" toml:"display"`

	// ReportTimes is how the times on the report are written; elapsed where it is
	// not said.
	ReportTimes ReportTimes `json:"report_times,omitempty" toml:"report_times"`

	// Sources says where each setting was read, by the setting's name or its
	// table's, or "common practice, no source".
	Sources map[string]string `json:"sources,omitempty" toml:"source"`
}

// ReportTimes says how times are written on a report.
type ReportTimes string

// The ways of writing a time. The empty value is elapsed time, as one body's
// manual has it: 10:49 left in a 15-minute period is 4:11 (USA Hockey manual,
// fifth edition, pages 12 and 13, as quoted in a youth association's score sheet
// instructions, August 2017). Other leagues want the time on the clock.
const (
	TimesUnsaid    ReportTimes = ""
	TimesElapsed   ReportTimes = "elapsed"
	TimesRemaining ReportTimes = "remaining"
)

// MinorForm is what a minor costs.
type MinorForm string

// The forms of a minor. The empty form is time in the box.
const (
	MinorTimed    MinorForm = ""
	MinorShot     MinorForm = "penalty_shot"         // a penalty shot instead of time
	MinorShotTime MinorForm = "penalty_shot_or_time" // a penalty shot; a miss means time
	MinorShift    MinorForm = "rest_of_shift"        // until the shift ends
)

// Lengths are the lengths of the penalties of a division.
type Lengths struct {
	Minor      entry.Millis `json:"minor_ms" toml:"minor"`
	BenchMinor entry.Millis `json:"bench_minor_ms" toml:"bench_minor"`
	Major      entry.Millis `json:"major_ms" toml:"major"`
	Match      entry.Millis `json:"match_ms" toml:"match"`
	Misconduct entry.Millis `json:"misconduct_ms" toml:"misconduct"`
	Form       MinorForm    `json:"form,omitempty" toml:"form"`
}

// LengthOf is how long a part of a call is served, in milliseconds; 0 where
// nothing is served by the clock. Minors may be shorter in overtime.
func (d *Division) LengthOf(part entry.Part, overtime bool) entry.Millis {
	if short := d.Overtime.Minor; overtime && short > 0 && part.IsMinor() {
		return short
	}
	switch part {
	case entry.Minor:
		return d.Lengths.Minor
	case entry.BenchMinor:
		return d.Lengths.BenchMinor
	case entry.Major:
		return d.Lengths.Major
	case entry.Match:
		return d.Lengths.Match
	case entry.Misconduct:
		return d.Lengths.Misconduct
	case entry.GameMisconduct, entry.PenaltyShot:
		return 0
	}
	return 0
}

// ClockRule is how the clock of a period runs where it is not plain stop time.
type ClockRule struct {
	Running        bool         `json:"running,omitempty" toml:"running"`                    // runs through stoppages
	RunningPeriods []int        `json:"running_periods,omitempty" toml:"running_periods"`    // only these do; empty: all
	StopLast       entry.Millis `json:"stop_last_ms,omitempty" toml:"stop_last"`             // stop time in the last part of the game
	StopWithin     int          `json:"stop_within,omitempty" toml:"stop_within"`            // ... if the lead is at most this; 0: whatever it is
	StopsForCalls  bool         `json:"stops_for_calls,omitempty" toml:"stops_for_calls"`    // stops for a call, an injury, the officials
	HornEvery      entry.Millis `json:"horn_every_ms,omitempty" toml:"horn_every"`           // horn for a change of players
	WarmUpWhistle  entry.Millis `json:"warm_up_whistle_ms,omitempty" toml:"warm_up_whistle"` // a whistle with this much of the warm-up left
	SkateBetween   entry.Millis `json:"skate_between_ms,omitempty" toml:"skate_between"`     // time to skate between periods
}

// Returns says whether running time goes back to stop time.
type Returns string

// When running time goes back. The empty value: the league does not say, so the
// referee does.
const (
	ReturnsUnsaid Returns = ""
	ReturnsNever  Returns = "never"
	ReturnsBelow  Returns = "below"  // when the lead is smaller again
	ReturnsClosed Returns = "closed" // when the game is tied again
)

// Running is running time once one side leads by much.
type Running struct {
	Lead           int     `json:"lead,omitempty" toml:"lead"`               // 0: never
	FromPeriod     int     `json:"from_period,omitempty" toml:"from_period"` // 1: at any time
	Returns        Returns `json:"returns,omitempty" toml:"returns"`
	KeepsBoxGoing  bool    `json:"keeps_box_going,omitempty" toml:"keeps_box_going"` // penalties run through stoppages, release in play only
	EndsGame       bool    `json:"ends_game,omitempty" toml:"ends_game"`             // the game is over instead
	ChangesLengths bool    `json:"changes_lengths,omitempty" toml:"changes_lengths"` // the league has other penalty lengths in running time
	SkipsBreakAt   int     `json:"skips_break_at,omitempty" toml:"skips_break_at"`   // the long break is left out at this lead
}

// SlotAction is what happens when the ice time runs out before the game.
type SlotAction string

// The actions. The empty value: nothing is said.
const (
	SlotUnsaid    SlotAction = ""
	SlotSetAndRun SlotAction = "set_clock_and_run" // the clock is set to the ice time left and runs
	SlotRun       SlotAction = "run_out"           // once the clock equals the ice time left it runs
	SlotEnd       SlotAction = "end"               // the game ends there
)

// Slot is the ice time.
type Slot struct {
	Length     entry.Millis `json:"length_ms,omitempty" toml:"length"`
	Action     SlotAction   `json:"action,omitempty" toml:"action"`
	LastHalf   bool         `json:"last_half,omitempty" toml:"last_half"`       // the last period is half of the minutes left, rounded down
	LastAtMost bool         `json:"last_at_most,omitempty" toml:"last_at_most"` // ... but never longer than its own length
	LeastPlay  entry.Millis `json:"least_play_ms,omitempty" toml:"least_play"`  // of the whole game, however short the slot
}

// Overtime is how a tied game goes on. No Periods: it does not.
type Overtime struct {
	Periods      []OvertimePeriod `json:"periods" toml:"periods"`
	SuddenDeath  bool             `json:"sudden_death,omitempty" toml:"sudden_death"`   // the first goal ends the game
	Repeat       bool             `json:"repeat,omitempty" toml:"repeat"`               // the last one repeats until there is a winner
	OneAtATime   bool             `json:"one_at_a_time,omitempty" toml:"one_at_a_time"` // a second penalty waits for the first to end
	IfSlotAllows bool             `json:"if_slot_allows,omitempty" toml:"if_slot_allows"`
	Minor        entry.Millis     `json:"minor_ms,omitempty" toml:"minor"` // length of a minor in overtime; 0: as in regulation
	FinalsOnly   bool             `json:"finals_only,omitempty" toml:"finals_only"`
}

// OvertimePeriod is one overtime period.
type OvertimePeriod struct {
	Length      entry.Millis `json:"length_ms" toml:"length"`
	Skaters     int          `json:"skaters" toml:"skaters"`
	Rest        entry.Millis `json:"rest_ms" toml:"rest"`                        // before it; 0: play goes on at once
	SuddenDeath bool         `json:"sudden_death,omitempty" toml:"sudden_death"` // the first goal of this one ends the game
	Running     bool         `json:"running,omitempty" toml:"running"`
}

// ShootOut is a shoot-out. No Shooters: there is none.
type ShootOut struct {
	Shooters      int          `json:"shooters" toml:"shooters"` // a side, before sudden death
	Prepare       entry.Millis `json:"prepare_ms,omitempty" toml:"prepare"`
	AllFirst      bool         `json:"all_first,omitempty" toml:"all_first"`       // nobody twice before all have shot
	BothEnds      bool         `json:"both_ends,omitempty" toml:"both_ends"`       // both sides shoot at once
	HomeChooses   bool         `json:"home_chooses,omitempty" toml:"home_chooses"` // who shoots first
	WholeTeam     bool         `json:"whole_team,omitempty" toml:"whole_team"`
	Always        bool         `json:"always,omitempty" toml:"always"`                 // after every game, tied or not
	FlipsOrder    bool         `json:"flips_order,omitempty" toml:"flips_order"`       // the other side shoots first in the next round
	SameEnds      bool         `json:"same_ends,omitempty" toml:"same_ends"`           // goalkeepers keep their ends
	BarsPenalized bool         `json:"bars_penalized,omitempty" toml:"bars_penalized"` // whoever is in the box may not shoot
	FinalsOnly    bool         `json:"finals_only,omitempty" toml:"finals_only"`
}

// TimeOut is the time-outs of a team.
type TimeOut struct {
	Each              int          `json:"each" toml:"each"` // for each team in a game, overtime included
	Length            entry.Millis `json:"length_ms" toml:"length"`
	InjuredGoalkeeper entry.Millis `json:"injured_goalkeeper_ms,omitempty" toml:"injured_goalkeeper"` // for a lone goalkeeper to recover
	FinalsOnly        bool         `json:"finals_only,omitempty" toml:"finals_only"`
}

// Limits are counts that end a player's game or that a roster must keep.
type Limits struct {
	Penalties     int          `json:"penalties,omitempty" toml:"penalties"` // a player's penalty with this number ejects; 0: the code's own rule
	Minutes       entry.Millis `json:"minutes_ms,omitempty" toml:"minutes"`  // a player's penalty minutes that eject
	GoalsByPlayer int          `json:"goals_by_player,omitempty" toml:"goals_by_player"`
	Dressed       int          `json:"dressed,omitempty" toml:"dressed"` // most players of a side
	LeastSkaters  int          `json:"least_skaters,omitempty" toml:"least_skaters"`
	LeastPlayers  int          `json:"least_players,omitempty" toml:"least_players"`
	NoPenalties   bool         `json:"no_penalties,omitempty" toml:"no_penalties"`      // the code's own count of penalties does not hold
	TeamPenalties int          `json:"team_penalties,omitempty" toml:"team_penalties"`  // a side's penalties that suspend its head coach; 0: the code's own rule
	SuspendsLate  entry.Millis `json:"suspends_late_ms,omitempty" toml:"suspends_late"` // reaching Minutes in this last part of the game suspends
}

// Display is what the public display shows.
type Display struct {
	LeadAtMost int  `json:"lead_at_most,omitempty" toml:"lead_at_most"` // the sheet has every goal
	NoScore    bool `json:"no_score,omitempty" toml:"no_score"`
	NoScorers  bool `json:"no_scorers,omitempty" toml:"no_scorers"` // the sheet keeps the score only
}
