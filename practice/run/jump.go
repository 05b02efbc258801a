package run

import (
	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/practice/script"
)

const (
	// jumpBefore is how long before the next thing a jump ends.
	jumpBefore = 4_000
	// jumpAfter is how long play, an intermission or a time-out is watched first.
	jumpAfter = 2_000
	// jumpLeast is the shortest jump that is worth it.
	jumpLeast = 1_500
	// outPatience is how long somebody whose time is over waits to be told.
	outPatience = 8_000
)

// jump is by how much the practice's clock is put on: to shortly before the next
// thing that happens or has to be done. Next is when the next cue comes.
func (r *Run) jump(now, next entry.Millis, s Sight) entry.Millis {
	i := len(r.shown) - 1
	if r.pace == RealPace || i < 0 || now-r.shown[i] < jumpAfter || !r.idle(now, s) {
		return 0
	}
	to := min(next, r.nextPost(now, s), r.nextOut(now, s), r.nextRight(now))
	if zero, known := ownZero(s.State, s.State.Stage); known && zero > now {
		to = min(to, zero)
	}
	if to == script.FarOff || to-jumpBefore-now < jumpLeast {
		return 0
	}
	return to - jumpBefore - now
}

// idle reports whether nothing is to be done now but to wait: play or an
// intermission or a time-out is on, the clock runs as it should, and nobody in
// the box waits for a word.
func (r *Run) idle(now entry.Millis, s Sight) bool {
	for _, since := range r.over {
		if r.script.Box && now-since < outPatience {
			return false
		}
	}
	i := len(r.shown) - 1
	c := r.script.Cues[i]
	next := r.script.Cues[i+1]
	switch {
	case r.script.Clock == entry.Follow && r.playing():
		return true
	case r.playing():
		return s.State.Clock.Running && s.State.Stage == r.stageOf(c.At.Period, s.State)
	case c.Running: // running time, between whistle and drop
		return s.State.Clock.Running && s.State.Stage.Play() && next.Kind == script.CueDrop
	case next.Kind == script.CueBreakOver:
		begun := s.State.Stage.Kind == entry.Intermission && s.State.Clock.Running
		return begun || now-r.shown[i] > r.patience()
	case next.Kind == script.CueLineUp:
		return s.State.TimeOut != nil
	case next.Kind == script.CueDrop:
		return r.isDone(s) && counts(s.State) > now // a time-out is watched to its last seconds
	}
	return false
}

// patience is how long a referee of this script waits for the bench.
func (r *Run) patience() entry.Millis {
	most := entry.Millis(0)
	for _, c := range r.script.Cues {
		most = max(most, c.Wait)
	}
	return most
}

// nextRight is when somebody's penalty is over next by the answer.
func (r *Run) nextRight(now entry.Millis) entry.Millis {
	if !r.playing() && !r.script.Cues[len(r.shown)-1].Running {
		return script.FarOff
	}
	answer := r.right()
	at := r.played(now, answer)
	next := script.FarOff
	for _, out := range answer.Releases {
		if out.Moment.Abs > at {
			next = min(next, now+out.Moment.Abs-at)
		}
	}
	return next
}

// right is the game as it should be by now: the answer up to the newest cue.
func (r *Run) right() rules.State {
	var due []entry.Entry
	for _, a := range r.script.Answers {
		if a.Cue < len(r.shown) {
			e := a.Entry
			e.Seq = len(due) + 1
			due = append(due, e)
		}
	}
	if len(due) != r.folded {
		state, err := r.grown.Fold(due)
		if err != nil {
			return r.answer // a script that was directed folds
		}
		r.answer, r.folded = state, len(due)
	}
	return r.answer
}
