package rulebook

import "whistlestop/entry"

// Division is the settings of one age group. All lengths are milliseconds.
type Division struct {
	ID     string `json:"id"`
	Name   string `json:"name"`
	League string `json:"league,omitempty"`
	Code   string `json:"code"` // id of the rule body's code

	WarmUp        entry.Millis   `json:"warm_up_ms"`
	Periods       []entry.Millis `json:"periods_ms"`       // length of each regulation period
	Intermissions []entry.Millis `json:"intermissions_ms"` // after each regulation period but the last
	Skaters       int            `json:"skaters"`          // of a side at full strength

	Lengths  Lengths  `json:"lengths"`
	Overtime Overtime `json:"overtime"`
	ShootOut ShootOut `json:"shoot_out"`
	TimeOut  TimeOut  `json:"time_out"`

	// ShortGoalFrees says that a short-handed goal ends a minor of the side that
	// scored, as one professional league plays it.
	ShortGoalFrees bool `json:"short_goal_frees,omitempty"`
}

// Lengths are the lengths of the penalties of a division.
type Lengths struct {
	Minor      entry.Millis `json:"minor_ms"`
	BenchMinor entry.Millis `json:"bench_minor_ms"`
	Major      entry.Millis `json:"major_ms"`
	Match      entry.Millis `json:"match_ms"`
	Misconduct entry.Millis `json:"misconduct_ms"`
}

// Overtime is how a tied game goes on. No Periods: it does not.
type Overtime struct {
	Periods     []entry.Millis `json:"periods_ms"`
	Skaters     int            `json:"skaters"`
	Rest        entry.Millis   `json:"rest_ms"`      // before each overtime period
	SuddenDeath bool           `json:"sudden_death"` // the first goal ends the game
	Repeat      bool           `json:"repeat"`       // the last length repeats until there is a winner
}

// ShootOut is a shoot-out after overtime. No Shooters: there is none.
type ShootOut struct {
	Shooters int `json:"shooters"`
}

// TimeOut is the time-outs of a team.
type TimeOut struct {
	Each   int          `json:"each"` // for each team in a game
	Length entry.Millis `json:"length_ms"`
}
