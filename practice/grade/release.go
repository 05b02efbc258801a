package grade

import (
	"slices"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/practice/script"
)

func (g *grading) release(r release, h int, outs []out) {
	skill := g.skillOfTerm(r.term)
	g.expect(skill, worthRelease)
	f := Finding{Skill: skill, Moment: g.placeOf(r.Cue), Want: r.Entry.ID}
	if n := len(r.term.Reasons); n > 0 {
		f.Reason = &r.term.Reasons[n-1]
	}
	say := func(late entry.Millis) {
		f.Tenths = tenths(late)
		g.slip(f, "team", g.team(r.who.side), "player", string(r.who.number), "gate", "@gate."+string(r.who.side),
			"seconds", seconds(f.Tenths))
	}
	if h < 0 {
		f.Fault = ReleaseLeft
		say(0)
		return
	}
	f.Entry = outs[h].id
	first, last := g.window(r)
	late := max(0, outs[h].wall-last)
	if outs[h].wall < first {
		late = outs[h].wall - first
	}
	switch {
	case late > script.LateRelease:
		f.Fault = ReleaseLate
		say(late)
	case late < -script.EarlyRelease:
		f.Fault = ReleaseEarly
		say(late)
	}
}

// window is when it was right to tell somebody to leave, give or take. A goal
// frees them at the whistle, and the bench knows it when the goal was said. Time
// frees them when it is over by play, or by the learner's clock: how far that is
// off is said where it was started and stopped.
func (g *grading) window(r release) (first, last entry.Millis) {
	first, last = r.due, r.due
	at := r.Entry.At
	if r.term.Ended != rules.ByGoal {
		if own, known := g.reached(at, r.due); known {
			first, last = min(first, own), max(last, own)
		}
		return first, last
	}
	for _, goal := range g.script.Answers {
		same := goal.Entry.At.Period == at.Period && goal.Entry.At.Elapsed == at.Elapsed
		if goal.Entry.Kind() == entry.KindGoal && goal.Cue >= 0 && same {
			last = max(last, g.shown[goal.Cue])
		}
	}
	return first, last
}

// reached is when the learner's clock came to a moment of play while it ran: the
// time nearest to another instant, if there was one.
func (g *grading) reached(at entry.At, near entry.Millis) (best entry.Millis, known bool) {
	for i, t := range g.line {
		if !t.running || t.elapsed > at.Elapsed || !g.isStage(at.Period, t.stage) {
			continue
		}
		wall := t.wall + at.Elapsed - t.elapsed
		if i+1 < len(g.line) && g.line[i+1].wall < wall {
			continue
		}
		if !known || abs(wall-near) < abs(best-near) {
			best, known = wall, true
		}
	}
	return best, known
}

// isStage reports whether a stage is that of a period.
func (g *grading) isStage(period int, stage entry.Stage) bool {
	return slices.ContainsFunc(g.want.Periods, func(s rules.PeriodSpan) bool { return s.Period == period && s.Stage == stage })
}
