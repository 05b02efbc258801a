package run

import (
	"slices"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/practice/script"
)

// soonDrop is how long after the line-up the puck is dropped where time is cut
// short: at the quicker paces, and at every pace before the first drop, because
// whoever says that they are ready has waited already. In milliseconds.
const soonDrop = 1_500

// due is when the next cue is to be shown, and what it waits for; an instant far
// off if only the learner can bring it about.
func (r *Run) due(s Sight) (entry.Millis, Waiting) {
	i := len(r.shown)
	c := r.script.Cues[i]
	if i == 0 {
		return r.begun + min(c.Real, soonDrop), ForNothing // nobody looks at an empty rink first
	}
	at := r.shown[i-1] + c.Real - r.script.Cues[i-1].Real
	switch c.Kind {
	case script.CueDrop:
		return r.dropDue(at, s)
	case script.CueRunsOut:
		return r.endDue(at, s, r.stageOf(c.At.Period, s.State)), ForNothing
	case script.CueBreakOver:
		if s.State.Stage.Kind == entry.Intermission {
			return r.endDue(at, s, s.State.Stage), ForNothing
		}
	case script.CueLineUp, script.CueArm, script.CueWhistle, script.CueSignal, script.CueWords, script.CueSits, script.CueCrowd, script.CueEnd:
	}
	if r.stepped(i) {
		if r.next == 0 {
			return script.FarOff, ForNext
		}
		return r.next, ForNothing
	}
	return at, ForNothing
}

// stepped reports whether a cue waits for the learner's word: at the pace that
// goes step by step, at a stoppage. A clock that runs cannot be held, so where it
// runs through a stoppage nothing waits; and what is said at once with something
// else is not taken apart.
func (r *Run) stepped(i int) bool {
	if r.pace != StepPace || i == 0 {
		return false
	}
	c := r.script.Cues[i]
	held := slices.Contains([]script.CueKind{script.CueSignal, script.CueWords, script.CueSits, script.CueLineUp, script.CueDrop}, c.Kind)
	before := r.script.Cues[i-1]
	return held && !before.Running && c.Real-before.Real > script.AtOnce
}

// dropDue is when the puck is dropped: at the script's time at the earliest, and
// when the bench is READY or the referee has waited long enough.
func (r *Run) dropDue(at entry.Millis, s Sight) (entry.Millis, Waiting) {
	i := len(r.shown)
	line := r.script.Cues[i-1]
	if line.Running {
		return at, ForNothing // the clock runs on, and so does the game
	}
	from := r.shown[i-1]
	if r.pace != RealPace || r.dropped < 0 {
		at = min(at, from+soonDrop)
	}
	if r.stepped(i) {
		if r.next == 0 {
			return script.FarOff, ForNext
		}
		at, from = r.next, r.next
	}
	patience := max(at, from+line.Wait)
	over := counts(s.State)
	switch {
	case over > at && r.isDone(s):
		return min(over, patience), ForReady
	case r.isDone(s):
		return at, ForNothing
	case s.State.Clock.Running && s.State.Stage.Play():
		return patience, ForStop
	case r.drafting:
		return patience, ForPost
	}
	return patience, ForReady
}

// stageOf is the stage of a period.
func (r *Run) stageOf(period int, state rules.State) entry.Stage {
	for _, span := range state.Periods {
		if span.Period == period {
			return span.Stage
		}
	}
	return entry.Stage{}
}

// endDue is when the clock of a stage is at 0:00. That is a thing of the learner's
// own clock, if it runs in this stage; otherwise the script's time counts.
func (r *Run) endDue(at entry.Millis, s Sight, stage entry.Stage) entry.Millis {
	since := r.shown[len(r.shown)-1]
	if zero, known := ownZero(s.State, stage); known && zero >= since && r.script.Clock != entry.Follow {
		return zero
	}
	return at
}

// ownZero is when the learner's clock is or was at 0:00 in a stage.
func ownZero(s rules.State, stage entry.Stage) (entry.Millis, bool) {
	c := s.Clock
	switch {
	case s.Stage != stage || c.Length <= 0:
		return 0, false
	case c.Running:
		return c.Wall + max(0, c.Length-c.Elapsed), true
	case c.Elapsed >= c.Length:
		return c.Wall, true
	}
	return 0, false
}

// position is where play stands on its axis by the learner's clock. Beside the
// rink's own board it is where the script has it.
func (r *Run) position(now entry.Millis, s rules.State) entry.Millis {
	for _, span := range s.Periods {
		if span.Stage != s.Stage {
			continue
		}
		if r.script.Clock == entry.Follow {
			return max(span.Abs+s.Clock.Elapsed, r.played(now, s))
		}
		return span.Abs + s.Clock.At(now)
	}
	return script.Position(s)
}

// played is where play stands on its axis by the script.
func (r *Run) played(now entry.Millis, s rules.State) entry.Millis {
	i := len(r.shown) - 1
	at := r.script.Moments[0].At // before the first cue: where the learner takes over
	if i >= 0 {
		at = r.script.Cues[i].At
	}
	if i >= 0 && r.script.Cues[i].Running {
		k := i
		for k > 0 && !r.dates(k) {
			k--
		}
		at = r.script.Cues[k].At
		at.Elapsed += now - r.shown[k]
		for _, c := range r.script.Cues[i+1:] {
			if c.Kind == script.CueWhistle || c.Kind == script.CueRunsOut {
				at.Elapsed = min(at.Elapsed, max(c.At.Elapsed, r.script.Cues[i].At.Elapsed))
				break
			}
		}
	}
	for _, span := range s.Periods {
		if span.Period == at.Period {
			return span.Abs + min(at.Elapsed, span.Length)
		}
	}
	return 0
}

// dates reports whether a cue says where the clock stands while it runs: a drop
// does not where the clock never stopped.
func (r *Run) dates(i int) bool {
	switch r.script.Cues[i].Kind {
	case script.CueWhistle, script.CueArm:
		return true
	case script.CueDrop:
		return i == 0 || !r.script.Cues[i-1].Running
	case script.CueLineUp, script.CueRunsOut, script.CueSignal, script.CueWords, script.CueSits, script.CueCrowd, script.CueBreakOver, script.CueEnd:
	}
	return false
}
