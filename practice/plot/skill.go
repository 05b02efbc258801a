package plot

import (
	"slices"

	"whistlestop/game/entry"
)

// Skill is something that a bench must be able to do.
type Skill string

// The skills, from the first evening on.
const (
	StartStop     Skill = "start_stop"
	Score         Skill = "score"
	PeriodEnd     Skill = "period_end" // horn, intermission, next period
	MinorCall     Skill = "minor"      // and its release
	PowerPlayGoal Skill = "power_play_goal"
	EvenGoal      Skill = "even_goal"
	CarryOver     Skill = "carry_over"
	TimeOutCall   Skill = "time_out"
	TwoOnOne      Skill = "two_on_one"
	FiveOnThree   Skill = "five_on_three"
	Coincidental  Skill = "coincidental"
	DoubleMinor   Skill = "double_minor"
	MajorCall     Skill = "major"
	Misconduct    Skill = "misconduct"
	DelayedThird  Skill = "delayed_third"
	SignalledGoal Skill = "signalled_goal"
	TakenBack     Skill = "taken_back"
	PutBack       Skill = "put_back"
	RunningTime   Skill = "running_time"
	Overtime      Skill = "overtime"
	Noise         Skill = "noise"
	FollowBoard   Skill = "follow_board"
)

// Skills lists every skill in the order in which they are learnt.
var Skills = []Skill{
	StartStop, Score, PeriodEnd, MinorCall, PowerPlayGoal, EvenGoal, CarryOver, TimeOutCall, TwoOnOne,
	FiveOnThree, Coincidental, DoubleMinor, MajorCall, Misconduct, DelayedThird, SignalledGoal, TakenBack,
	PutBack, RunningTime, Overtime, Noise, FollowBoard,
}

// Valid reports whether the skill is known.
func (s Skill) Valid() bool { return slices.Contains(Skills, s) }

// Levels is the highest level of a practice game; the lowest is 1.
const Levels = 5

// Level is what a level asks for.
type Level struct {
	Skills   []Skill // that a game of this level has where none were named
	Box      bool    // players are confirmed in the box, and told to leave it
	Patience entry.Millis
	// Talk is how long the referee takes between two things that are said.
	Talk  entry.Millis
	Noise int // of a thousand stoppages
}

// AtLevel has the levels by number, from 1. The referee gets quicker, the hall louder.
var AtLevel = [Levels + 1]Level{
	{},
	{Skills: []Skill{StartStop, Score, PeriodEnd}, Patience: 60_000, Talk: 9_000},
	{Skills: []Skill{StartStop, Score, PeriodEnd, MinorCall, PowerPlayGoal, EvenGoal}, Box: true, Patience: 45_000, Talk: 8_000},
	{Skills: []Skill{MinorCall, PowerPlayGoal, CarryOver, TimeOutCall, Coincidental, TwoOnOne}, Box: true, Patience: 40_000, Talk: 7_000, Noise: 60},
	{Skills: []Skill{FiveOnThree, DoubleMinor, MajorCall, Misconduct, TakenBack, PutBack}, Box: true, Patience: 35_000, Talk: 6_000, Noise: 120},
	{Skills: []Skill{DelayedThird, SignalledGoal, Coincidental, DoubleMinor, RunningTime, Overtime, Noise}, Box: true, Patience: 30_000, Talk: 5_000, Noise: 250},
}

// seatsOf says which seats use a skill.
func seatsOf(s Skill) []entry.Seat {
	switch s {
	case StartStop, PutBack:
		return []entry.Seat{entry.ClockSeat}
	case PeriodEnd, RunningTime, Overtime, TimeOutCall:
		return []entry.Seat{entry.ClockSeat, entry.BookSeat}
	case Score, TakenBack:
		return []entry.Seat{entry.BookSeat}
	case MinorCall, PowerPlayGoal, EvenGoal, CarryOver, TwoOnOne, FiveOnThree, Coincidental, DoubleMinor,
		MajorCall, Misconduct, DelayedThird, SignalledGoal:
		return []entry.Seat{entry.BoxSeat, entry.BookSeat}
	case Noise, FollowBoard:
		return []entry.Seat{entry.ClockSeat, entry.BoxSeat, entry.BookSeat}
	}
	return nil
}

// Uses reports whether a seat uses a skill. Solo uses them all.
func Uses(seat entry.Seat, s Skill) bool {
	return seat == entry.Solo || slices.Contains(seatsOf(s), seat)
}

// CheckID is the id of the check game: as short as a drill, and a game all the same.
const CheckID = "check"

// DrillID is the id of a skill's drill.
func DrillID(s Skill) string {
	id := []byte("drill-" + string(s))
	for i, letter := range id {
		if letter == '_' {
			id[i] = '-'
		}
	}
	return string(id)
}
