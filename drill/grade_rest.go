package drill

import (
	"slices"

	"whistlestop/entry"
	"whistlestop/rules"
)

// stages compares the stages that were begun, and the horn.
func (g *grading) stages() {
	begun := g.lines(entry.KindStageBegun)
	for _, a := range g.mine(entry.KindStageBegun) {
		want := a.Entry.Body.(entry.StageBegun).Stage
		skill := PeriodEnd
		if want.Kind == entry.Overtime {
			skill = Overtime
		}
		g.expect(skill, worthStage)
		if !slices.ContainsFunc(begun, func(l rules.Line) bool { return l.Body.(entry.StageBegun).Stage == want }) {
			g.slip(Finding{Fault: StageMissing, Skill: skill, Moment: g.placeOf(a.Cue), Want: a.Entry.ID}, "stage", stageArg(want))
		}
	}
	if len(g.acts) == 0 {
		return // whoever grades a ledger alone has heard no horn
	}
	for i, m := range g.script.Moments {
		if m.From > g.upTo || g.script.Cues[m.From].Kind != CueRunsOut {
			continue
		}
		g.expect(PeriodEnd, worthHorn)
		due, to := g.span(i)
		f := Finding{Fault: HornMissing, Skill: PeriodEnd, Moment: i}
		for _, a := range g.acts {
			if a.Do != Horn || a.Wall < due-LateHorn || a.Wall > to {
				continue
			}
			if f.Fault == HornMissing || a.Wall-due < entry.Millis(f.Tenths)*100 {
				f.Fault, f.Tenths = HornLate, max(0, int((a.Wall-due)/100))
			}
		}
		if f.Fault == HornMissing || f.Tenths > LateHorn/100 {
			g.slip(f, "seconds", seconds(f.Tenths))
		}
	}
}

// rest compares time-outs, running time and what captains said.
func (g *grading) rest() {
	outs := g.lines(entry.KindTimeOut)
	for _, a := range g.mine(entry.KindTimeOut) {
		g.expect(TimeOutCall, worthTimeOut)
		i, side := g.placeOf(a.Cue), a.Entry.Body.(entry.TimeOut).Side
		f := Finding{Fault: TimeOutLeft, Skill: TimeOutCall, Moment: i, Want: a.Entry.ID}
		right := false
		for _, l := range outs {
			if g.momentOf(l.Moment) == i {
				f.Fault, f.Entry = TimeOutSide, l.Entry
				right = right || l.Body.(entry.TimeOut).Side == side
			}
		}
		if !right {
			g.slip(f, "team", g.team(side))
		}
	}
	turns := g.lines(entry.KindRunningTime)
	for _, a := range g.mine(entry.KindRunningTime) {
		g.expect(RunningTime, worthRunning)
		on := a.Entry.Body.(entry.RunningTime).On
		at := slices.IndexFunc(turns, func(l rules.Line) bool { return l.Body.(entry.RunningTime).On == on })
		f := Finding{Fault: RunningLeft, Skill: RunningTime, Moment: g.placeOf(a.Cue), Want: a.Entry.ID}
		if at < 0 {
			g.slip(f, "what", turnArg(on))
			continue
		}
		g.lateOrAmended(f, turns[at])
		turns = turns[at+1:]
	}
	choices := g.lines(entry.KindChoice)
	for _, a := range g.mine(entry.KindChoice) {
		i, want := g.placeOf(a.Cue), a.Entry.Body.(entry.Choice)
		skill := g.skillOfChoice(want)
		g.expect(skill, worthChoice)
		f := Finding{Fault: ChoiceMissing, Skill: skill, Moment: i, Want: a.Entry.ID}
		right := false
		for _, l := range choices {
			if picks := l.Body.(entry.Choice).Picks; g.momentOf(l.Moment) == i {
				f.Fault, f.Entry = ChoiceWrong, l.Entry
				right = right || sameNumbers(picks, want.Picks)
			}
		}
		if !right {
			g.slip(f, "want", words(want.Picks))
		}
	}
}

func turnArg(on bool) string {
	if on {
		return "@drill.turn.on"
	}
	return "@drill.turn.off"
}

func (g *grading) skillOfChoice(c entry.Choice) Skill {
	switch {
	case hasPrefix(c.Question, "wipe/"):
		return SignalledGoal
	case hasPrefix(c.Question, "serve/"):
		return Coincidental
	}
	return DelayedThird
}

// sameNumbers reports whether two lists name the same players, in any order.
func sameNumbers(a, b []entry.Jersey) bool {
	x, y := slices.Sorted(slices.Values(a)), slices.Sorted(slices.Values(b))
	return slices.Equal(x, y)
}

// drillID is the id of a skill's drill.
func drillID(s Skill) string {
	id := []byte("drill-" + string(s))
	for i, letter := range id {
		if letter == '_' {
			id[i] = '-'
		}
	}
	return string(id)
}
