package drill

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

// level is what a level asks for.
type level struct {
	skills   []Skill // that a game of this level has where none were named
	box      bool    // players are confirmed in the box, and told to leave it
	patience entry.Millis
	// talk is how long the referee takes between two things that are said.
	talk  entry.Millis
	noise int // of a thousand stoppages
}

// levels by number, from 1. The referee gets quicker, the hall louder.
var levels = [Levels + 1]level{
	{},
	{skills: []Skill{StartStop, Score, PeriodEnd}, patience: 60_000, talk: 9_000},
	{skills: []Skill{StartStop, Score, PeriodEnd, MinorCall, PowerPlayGoal, EvenGoal}, box: true, patience: 45_000, talk: 8_000},
	{skills: []Skill{MinorCall, PowerPlayGoal, CarryOver, TimeOutCall, Coincidental, TwoOnOne}, box: true, patience: 40_000, talk: 7_000, noise: 60},
	{skills: []Skill{FiveOnThree, DoubleMinor, MajorCall, Misconduct, TakenBack, PutBack}, box: true, patience: 35_000, talk: 6_000, noise: 120},
	{skills: []Skill{DelayedThird, SignalledGoal, Coincidental, DoubleMinor, RunningTime, Overtime, Noise}, box: true, patience: 30_000, talk: 5_000, noise: 250},
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
