package grade

import (
	"slices"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/practice/plot"
	"whistlestop/practice/script"
)

// stages compares the stages that were begun, and the horn.
func (g *grading) stages() {
	begun := g.lines(entry.KindStageBegun)
	for _, a := range g.mine(entry.KindStageBegun) {
		want := a.Entry.Body.(entry.StageBegun).Stage
		skill := plot.PeriodEnd
		if want.Kind == entry.Overtime {
			skill = plot.Overtime
		}
		g.expect(skill, worthStage)
		if !slices.ContainsFunc(begun, func(l rules.Line) bool { return l.Body.(entry.StageBegun).Stage == want }) {
			g.slip(Finding{Fault: StageMissing, Skill: skill, Moment: g.placeOf(a.Cue), Want: a.Entry.ID}, "stage", script.StageArg(want))
		}
	}
	if len(g.acts) == 0 {
		return // whoever grades a ledger alone has heard no horn
	}
	for i, m := range g.script.Moments {
		if m.From > g.upTo || g.script.Cues[m.From].Kind != script.CueRunsOut {
			continue
		}
		g.expect(plot.PeriodEnd, worthHorn)
		due, to := g.span(i)
		f := Finding{Fault: HornMissing, Skill: plot.PeriodEnd, Moment: i}
		for _, a := range g.acts {
			if a.Do != Horn || a.Wall < due-script.LateHorn || a.Wall > to {
				continue
			}
			if f.Fault == HornMissing || a.Wall-due < entry.Millis(f.Tenths)*100 {
				f.Fault, f.Tenths = HornLate, max(0, int((a.Wall-due)/100))
			}
		}
		if f.Fault == HornMissing || f.Tenths > script.LateHorn/100 {
			g.slip(f, "seconds", seconds(f.Tenths))
		}
	}
}

// rest compares time-outs and running time.
func (g *grading) rest() {
	outs := g.lines(entry.KindTimeOut)
	used := map[string]bool{}
	for _, a := range g.mine(entry.KindTimeOut) {
		g.expect(plot.TimeOutCall, worthTimeOut)
		i, side := g.placeOf(a.Cue), a.Entry.Body.(entry.TimeOut).Side
		f := Finding{Fault: TimeOutLeft, Skill: plot.TimeOutCall, Moment: i, Want: a.Entry.ID}
		for _, l := range outs {
			right := l.Body.(entry.TimeOut).Side == side
			if g.momentOf(l.Moment) == i && !used[l.Entry] && (right || f.Entry == "") {
				f.Fault, f.Entry = TimeOutSide, l.Entry
				if right {
					f.Fault = ""
					break
				}
			}
		}
		used[f.Entry] = true
		if f.Fault != "" {
			g.slip(f, "team", g.taker(side))
		}
	}
	for _, l := range outs {
		if used[l.Entry] {
			continue
		}
		f := Finding{Fault: TimeOutExtra, Skill: plot.TimeOutCall, Moment: g.momentOf(l.Moment), Entry: l.Entry}
		if g.noisy(f.Moment) {
			f.Skill = plot.Noise // a coach asked, and the referee gave none
		}
		g.slip(f, "team", g.taker(l.Body.(entry.TimeOut).Side))
	}
	turns := g.lines(entry.KindRunningTime)
	for _, a := range g.mine(entry.KindRunningTime) {
		g.expect(plot.RunningTime, worthRunning)
		on := a.Entry.Body.(entry.RunningTime).On
		at := slices.IndexFunc(turns, func(l rules.Line) bool { return l.Body.(entry.RunningTime).On == on })
		f := Finding{Fault: RunningLeft, Skill: plot.RunningTime, Moment: g.placeOf(a.Cue), Want: a.Entry.ID}
		if at < 0 {
			g.slip(f, "what", turnArg(on))
			continue
		}
		g.lateOrAmended(f, turns[at])
		turns = slices.Delete(turns, at, at+1)
	}
	for _, l := range turns {
		g.slip(Finding{Fault: RunningExtra, Skill: plot.RunningTime, Moment: g.momentOf(l.Moment), Entry: l.Entry},
			"what", turnArg(l.Body.(entry.RunningTime).On))
	}
}

// taker is who takes a time-out.
func (g *grading) taker(side entry.Side) string {
	if side == "" {
		return "@drill.officials"
	}
	return g.team(side)
}

// choices compares what captains said with what was entered. Whoever sits by a
// wrong answer is not told again who leaves the box.
func (g *grading) choices() {
	choices := g.lines(entry.KindChoice)
	for _, a := range g.mine(entry.KindChoice) {
		i, want := g.placeOf(a.Cue), a.Entry.Body.(entry.Choice)
		skill := g.skillOfChoice(want)
		g.expect(skill, worthChoice)
		f := Finding{Fault: ChoiceMissing, Skill: skill, Moment: i, Want: a.Entry.ID}
		var got []entry.Jersey
		for _, l := range choices {
			if picks := l.Body.(entry.Choice).Picks; g.momentOf(l.Moment) == i {
				f.Fault, f.Entry, got = ChoiceWrong, l.Entry, picks
				if sameNumbers(picks, want.Picks) {
					f.Fault = ""
					break
				}
			}
		}
		if f.Fault == "" {
			continue
		}
		g.slip(f, "want", plot.Join(want.Picks))
		if at := slices.IndexFunc(g.want.Asked, func(q rules.Question) bool { return q.ID == want.Question }); at >= 0 {
			side := g.want.Asked[at].Side
			for n := range min(len(want.Picks), len(got)) {
				g.swap(player{side, want.Picks[n]}, player{side, got[n]})
			}
		}
	}
}

// swap takes each of two players for the other in what is due of the answer.
func (g *grading) swap(a, b player) { g.same[a], g.same[b] = b, a }

func turnArg(on bool) string {
	if on {
		return "@drill.turn.on"
	}
	return "@drill.turn.off"
}

func (g *grading) skillOfChoice(c entry.Choice) plot.Skill {
	switch {
	case script.HasPrefix(c.Question, "wipe/"):
		return plot.SignalledGoal
	case script.HasPrefix(c.Question, "serve/"):
		return plot.Coincidental
	}
	return plot.DelayedThird
}

// sameNumbers reports whether two lists name the same players, in any order.
func sameNumbers(a, b []entry.Jersey) bool {
	x, y := slices.Sorted(slices.Values(a)), slices.Sorted(slices.Values(b))
	return slices.Equal(x, y)
}
