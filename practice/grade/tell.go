package grade

import (
	"fmt"
	"slices"

	"whistlestop/game/entry"
)

// Under grades the stoppage or the play under way as far as a cue, as if the next cue
// was shown just after now: so that what is wrong, or missing, is known before a
// learner goes on. Nothing that the next cue asks for is looked at.
func (k *Grader) Under(ledger []entry.Entry, acts []Act, cue int, now entry.Millis) (Grade, error) {
	if cue+1 < len(k.script.Cues) {
		acts = append(slices.Clone(acts), Act{Do: Shown, Wall: now + soon, Cue: cue + 1})
	}
	return k.UpTo(ledger, acts, cue)
}

// soon is later than what a learner has just done, give or take a clock's tolerance;
// in milliseconds.
const soon = 1_000

// AtOnce reports whether a slip can be told as soon as it was made: an entry or a
// touch is wrong as it stands. What is missing, or is too much while the referee still
// speaks, may come right.
func (f Fault) AtOnce() bool {
	switch f {
	case GoalSide, GoalScorer, GoalAssists, GoalHow, CallSide, CallNumber, CallLength, CallDoubled, CallSignal, CallServer, CallName, CallOrder,
		ReleaseWrong, ReleaseEarly, StopLate, StopEarly, StopRunning, ChoiceWrong, TimeOutSide, BoardWrong:
		return true
	case GoalMissing, GoalNotBack, GoalDouble, GoalExtra, GoalMoment, CallMissing, CallDouble, CallExtra, CallMoment, ReleaseLeft, ReleaseLate,
		BackMissing, SeatMissing, ClockNotPut, StopMissing, StopExtra, StartMissing, StartLate, StartEarly, StageMissing, HornMissing, HornLate,
		TimeOutLeft, TimeOutExtra, RunningLeft, RunningExtra, ChoiceMissing, BoardMissing, CardSteps, DropOnHold, ReadySlow, EnteredLate:
	}
	return false
}

// BeforeNext reports whether a slip is told before a learner goes on to the next
// thing. A puck that has not dropped was not dropped on HOLD: the referee waits, which
// is said in its place; and whoever reads need not be quick.
func (f Fault) BeforeNext() bool {
	return f != DropOnHold && f != ReadySlow && f != EnteredLate && !f.OfStart()
}

// OfStart reports a slip in starting the clock. Nobody can be told while the puck has
// just dropped, so it is told at the stoppage that comes after.
func (f Fault) OfStart() bool { return f == StartMissing || f == StartLate || f == StartEarly }

// Mend says how a slip is put right. The sentence that says it is the message
// "ui.practice.mend.<mend>".
type Mend string

// The ways to put a slip right.
const (
	MendNothing Mend = "nothing" // it is past; the next one counts
	MendEnter   Mend = "enter"   // what is missing is entered now
	MendChange  Mend = "change"  // a line is changed
	MendRemove  Mend = "remove"  // a line is taken out
	MendClock   Mend = "clock"   // the clock is set
	MendStop    Mend = "stop"    // the clock is stopped, then set
	MendStart   Mend = "start"   // the clock is started again
	MendSeat    Mend = "seat"    // who sits in the box is confirmed
	MendDoor    Mend = "door"    // the door is opened now
	MendStage   Mend = "stage"   // a stage is begun
	MendHorn    Mend = "horn"    // the horn is sounded
	MendBoard   Mend = "board"   // the rink's board is read again, or its card done
)

// Mends lists them.
var Mends = []Mend{MendNothing, MendEnter, MendChange, MendRemove, MendClock, MendStop, MendStart, MendSeat, MendDoor, MendStage, MendHorn, MendBoard}

// Mend is how a slip of this kind is put right.
func (f Fault) Mend() Mend {
	switch f {
	case GoalMissing, CallMissing, TimeOutLeft, RunningLeft, ChoiceMissing:
		return MendEnter
	case GoalSide, GoalScorer, GoalAssists, GoalHow, GoalMoment, CallSide, CallNumber, CallLength, CallDoubled, CallSignal, CallServer, CallName,
		CallMoment, CallOrder, TimeOutSide, ChoiceWrong:
		return MendChange
	case GoalDouble, GoalExtra, GoalNotBack, CallDouble, CallExtra, TimeOutExtra, RunningExtra:
		return MendRemove
	case StopLate, StopEarly, StopExtra, ClockNotPut:
		return MendClock
	case StopRunning:
		return MendStart
	case StopMissing:
		return MendStop
	case SeatMissing, BackMissing:
		return MendSeat
	case ReleaseLeft:
		return MendDoor
	case StageMissing:
		return MendStage
	case HornMissing:
		return MendHorn
	case BoardMissing, BoardWrong, CardSteps:
		return MendBoard
	case ReleaseWrong, ReleaseEarly, ReleaseLate, StartMissing, StartLate, StartEarly, HornLate, DropOnHold, ReadySlow, EnteredLate:
	}
	return MendNothing
}

// Telling remembers which slips of a practice were told, so that none stops the game
// twice.
type Telling struct{ told map[string]bool }

// Fresh lists those that were not told yet, and notes them as told. What was put right
// needs no telling.
func (t *Telling) Fresh(list []Finding) (fresh []Finding) {
	for _, f := range list {
		key := fmt.Sprintf("%s/%d/%s/%s", f.Fault, f.Moment, f.Want, f.Entry)
		if f.Finally || t.told[key] {
			continue
		}
		if t.told == nil {
			t.told = map[string]bool{}
		}
		t.told[key] = true
		fresh = append(fresh, f)
	}
	return fresh
}
