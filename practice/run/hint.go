package run

import "whistlestop/game/entry"

// Hint says what is to be done next, of what the learner owes. The sentence that says
// it is the message "ui.practice.hint.<hint>".
type Hint string

// The hints, what cannot wait first.
const (
	NoHint    Hint = ""
	HintStart Hint = "start"
	HintStop  Hint = "stop"
	HintDoor  Hint = "door"  // somebody whose time is over waits for the door
	HintEnter Hint = "enter" // a goal
	HintCall  Hint = "call"
	HintStage Hint = "stage" // a period, an intermission or the end is to be begun
	HintOther Hint = "other" // what else the referee said
	HintPost  Hint = "post"  // something was built and is not posted
	HintSeat  Hint = "seat"  // somebody sat down, and the bench waits to be told
	HintReady Hint = "ready"
	HintNext  Hint = "next"
)

// Hints lists the hints.
var Hints = []Hint{NoHint, HintStart, HintStop, HintDoor, HintEnter, HintCall, HintStage, HintOther, HintPost, HintSeat, HintReady, HintNext}

// hint is what the learner is to do now, as the answer has it.
func (r *Run) hint(g Glance, s Sight) Hint {
	switch {
	case g.Over || len(r.shown) == 0:
		return NoHint
	case g.Waits == ForStart:
		return HintStart
	case g.Waits == ForStop:
		return HintStop
	case len(g.Release) > 0 && r.script.Box && r.mine(entry.BoxSeat):
		return HintDoor
	}
	if r.drafting {
		return HintPost
	}
	if owed := r.owed(s); owed != NoHint {
		return owed
	}
	switch {
	case r.waitsToSit(s):
		return HintSeat
	case g.Waits == ForReady:
		return HintReady
	case g.Waits == ForNext:
		return HintNext
	}
	return NoHint
}

// owed is the first entry of the newest stoppage that the learner has not made: by
// kind, because what it says is for the learner to have heard.
func (r *Run) owed(s Sight) Hint {
	from := r.shown[min(r.script.Moments[r.moment()].From, len(r.shown)-1)]
	made := map[entry.Kind]int{}
	for _, l := range s.State.Lines {
		if l.Wall >= from {
			made[l.Kind]++
		}
	}
	for _, a := range r.script.Answers {
		if a.Cue < r.script.Moments[r.moment()].From || a.Cue >= len(r.shown) || !r.mine(a.Entry.Seat) || a.Entry.Seat == entry.Program {
			continue
		}
		kind := a.Entry.Kind()
		hint := hints[kind]
		if hint == NoHint {
			continue
		}
		if made[kind] == 0 {
			return hint
		}
		made[kind]--
	}
	return NoHint
}

// hints is what leads to the entries that a learner has to make; the clock and the box
// are hinted at by what is seen, and for the others the bench itself asks.
var hints = map[entry.Kind]Hint{
	entry.KindGoal:        HintEnter,
	entry.KindPenalty:     HintCall,
	entry.KindStageBegun:  HintStage,
	entry.KindTimeOut:     HintOther,
	entry.KindRunningTime: HintOther,
	entry.KindChoice:      HintOther,
	entry.KindClockSet:    HintOther,
	entry.KindBoardRead:   HintOther,
	entry.KindStruck:      HintOther,
}

// waitsToSit reports whether somebody sat down whom the learner has to see there.
func (r *Run) waitsToSit(s Sight) bool {
	if !r.script.Box || !r.mine(entry.BoxSeat) {
		return false
	}
	for _, item := range s.State.Hold {
		if body, is := item.Settle.(entry.Seated); is && body.In && r.sits(body) {
			return true
		}
	}
	return false
}
