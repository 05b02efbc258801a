package grade

import (
	"slices"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/practice/plot"
)

// Critical is a kind of error that spoils a game: the score, the strength on the ice
// or the time is wrong, and nobody can make up for it afterwards. Its name is the
// message "drill.critical.<kind>".
type Critical string

// The critical errors.
const (
	LostGoal      Critical = "goal_missing"
	WrongSideGoal Critical = "goal_side"
	FalseGoal     Critical = "goal_extra" // one that was none, stands twice, or was taken back
	LostCall      Critical = "call_missing"
	WrongSideCall Critical = "call_side"
	FalseCall     Critical = "call_extra"
	WronglyOut    Critical = "release_wrong"   // told to leave, and had to stay
	NeverOut      Critical = "release_missing" // never told to leave
	ClockRan      Critical = "clock_ran"       // the clock ran through a stoppage
)

// Criticals lists the critical errors. A result's code holds their places in it, so
// new ones are added at the end.
var Criticals = []Critical{LostGoal, WrongSideGoal, FalseGoal, LostCall, WrongSideCall, FalseCall, WronglyOut, NeverOut, ClockRan}

// farOff is from when on a clock that was stopped late ran through the stoppage, and a
// player who was let out early was let out wrongly, in milliseconds (our choice, no
// source).
const farOff = 5_000

// CriticalError is a critical error of a practice, and how often it happened.
type CriticalError struct {
	Kind  Critical  `json:"kind"`
	Count int       `json:"count"`
	Say   rules.Say `json:"say"`
}

// critical is the critical error that a slip is; empty: it is none. What was put
// right in time is none.
func (f Finding) critical() Critical {
	if f.Finally {
		return ""
	}
	far := entry.Millis(f.Tenths)*100 > farOff
	switch f.Fault {
	case GoalMissing:
		return LostGoal
	case GoalSide:
		return WrongSideGoal
	case GoalExtra, GoalDouble, GoalNotBack:
		return FalseGoal
	case CallMissing:
		return LostCall
	case CallSide:
		return WrongSideCall
	case CallExtra, CallDouble:
		return FalseCall
	case ReleaseWrong:
		return WronglyOut
	case ReleaseLeft:
		return NeverOut
	case StopMissing:
		return ClockRan
	case ReleaseEarly:
		if far {
			return WronglyOut
		}
	case StopLate:
		if far {
			return ClockRan
		}
	case GoalScorer, GoalAssists, GoalHow, GoalMoment, CallNumber, CallLength, CallDoubled, CallSignal, CallServer, CallName, CallMoment,
		CallOrder, ReleaseLate, BackMissing, SeatMissing, ClockNotPut, StopEarly, StopExtra, StartMissing, StartLate, StartEarly, StopRunning,
		StageMissing, HornMissing, HornLate, TimeOutLeft, TimeOutSide, TimeOutExtra, RunningLeft, RunningExtra, ChoiceMissing, ChoiceWrong,
		BoardMissing, BoardWrong, CardSteps, DropOnHold, ReadySlow, EnteredLate:
	}
	return ""
}

// doorsDrill is the drill of whoever opens the door of the box at a wrong moment.
const doorsDrill = "drill-doors"

// drillFor is the drill that a slip leads to: what it takes not to make it again, and
// not what the game happened to ask for just then.
func drillFor(f Finding) string {
	switch f.Fault {
	case ReleaseLeft, ReleaseWrong, ReleaseEarly, ReleaseLate:
		return doorsDrill
	case GoalMissing, GoalSide, GoalScorer, GoalAssists, GoalExtra, GoalDouble, GoalHow, GoalMoment:
		return plot.DrillID(plot.Score)
	case DropOnHold, ReadySlow:
		if f.Skill == plot.StartStop { // what held the puck was a penalty, as a rule
			return plot.DrillID(plot.MinorCall)
		}
	case CallMissing, CallSide, CallExtra, CallDouble:
		return plot.DrillID(plot.MinorCall)
	case GoalNotBack, CallNumber, CallLength, CallDoubled, CallSignal, CallServer, CallName, CallMoment, CallOrder, BackMissing, SeatMissing,
		ClockNotPut, StopMissing, StopLate, StopEarly, StopExtra, StartMissing, StartLate, StartEarly, StopRunning, StageMissing, HornMissing,
		HornLate, TimeOutLeft, TimeOutSide, TimeOutExtra, RunningLeft, RunningExtra, ChoiceMissing, ChoiceWrong, BoardMissing, BoardWrong,
		CardSteps, EnteredLate:
	}
	return plot.DrillID(f.Skill)
}

// CriticalOf lists the critical errors that a seat made, each once, in the order of
// Criticals.
func (g Grade) CriticalOf(seat entry.Seat) []CriticalError {
	list := []CriticalError{}
	for _, kind := range Criticals {
		n := 0
		for _, f := range g.Findings {
			if f.Critical == kind && plot.Uses(seat, f.Skill) {
				n++
			}
		}
		if n > 0 {
			list = append(list, CriticalError{Kind: kind, Count: n, Say: rules.Say{Key: "drill.critical." + string(kind)}})
		}
	}
	return list
}

// The cap of a score with critical errors: one leaves 60 of 100 at the most, each
// further one two less, down to 20, so that whoever makes fewer of them sees it (our
// choice, no source). Besides, a bar counts no game with any.
const (
	capOne   = 60
	capMore  = 2
	capLeast = 20
)

// Capped is a score, of a hundred, of a practice with so many critical errors.
func Capped(score, errors int) int {
	if errors == 0 {
		return score
	}
	return min(score, max(capLeast, capOne-capMore*(errors-1)))
}

// Errors counts critical errors.
func Errors(list []CriticalError) (n int) {
	for _, one := range list {
		n += one.Count
	}
	return n
}

// Kinds are the kinds of critical errors.
func Kinds(list []CriticalError) []Critical {
	var kinds []Critical
	for _, one := range list {
		kinds = append(kinds, one.Kind)
	}
	return slices.Clip(kinds)
}
