package grade

import (
	"cmp"
	"slices"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/practice/plot"
	"whistlestop/practice/script"
)

// pairing is an answer and a learner's entry that may mean the same thing.
type pairing struct{ want, have, far int }

// pair matches what should be with what is there, the likeliest first. far says
// how unlike two are; negative: they cannot be the same.
func pair(wants, haves int, far func(w, h int) int) (partner []int, left []int) {
	var all []pairing
	for w := range wants {
		for h := range haves {
			if d := far(w, h); d >= 0 {
				all = append(all, pairing{w, h, d})
			}
		}
	}
	entry.Arrange(all, func(a, b pairing) int { return cmp.Compare(a.far, b.far) })
	partner = slices.Repeat([]int{-1}, wants)
	taken := make([]bool, haves)
	for _, p := range all {
		if partner[p.want] < 0 && !taken[p.have] {
			partner[p.want], taken[p.have] = p.have, true
		}
	}
	for h := range haves {
		if !taken[h] {
			left = append(left, h)
		}
	}
	return partner, left
}

// fresh lists the lines of a state that the learner had to enter, by kind.
func fresh(state rules.State, given int, kind entry.Kind) []rules.Line {
	var out []rules.Line
	for i, l := range state.Lines {
		if i >= given && l.Kind == kind {
			out = append(out, l)
		}
	}
	return out
}

func standing(lines []rules.Line) []rules.Line {
	return slices.DeleteFunc(slices.Clone(lines), func(l rules.Line) bool { return l.Struck })
}

// cueOf is the cue that asks for an entry of the answer.
func (g *grading) cueOf(id string) int {
	if cue, due := g.cues[id]; due {
		return cue
	}
	return -1
}

// goals compares the goals that stand.
func (g *grading) goals() {
	all := fresh(g.want, g.script.Given, entry.KindGoal)
	wants, haves := standing(all), standing(fresh(g.have, g.script.Given, entry.KindGoal))
	place := func(l rules.Line) int { return g.placeOf(g.cueOf(l.Entry)) }
	partner, left := pair(len(wants), len(haves), func(w, h int) int {
		a, b := wants[w].Body.(entry.Goal), haves[h].Body.(entry.Goal)
		apart := place(wants[w]) - g.momentOf(haves[h].Moment)
		if apart != 0 && (a.Side != b.Side || a.Scorer != b.Scorer) {
			return -1 // a clock that is off takes the same goal far away, and the score is right all the same
		}
		return 3*apart*apart + unlike(a.Side != b.Side, 4) + unlike(a.Scorer != b.Scorer, 4) + unlike(!slices.Equal(a.Assists, b.Assists), 1)
	})
	for w, h := range partner {
		i := place(wants[w])
		skill := g.skillOfGoal(wants[w].Entry)
		g.expect(skill, worthGoal)
		f := Finding{Skill: skill, Moment: i, Want: wants[w].Entry}
		a := wants[w].Body.(entry.Goal)
		if h < 0 {
			f.Fault = GoalMissing
			g.slip(f, "team", g.team(a.Side), "player", script.PlayerArg(a.Scorer, false))
			continue
		}
		g.goal(f, a, haves[h])
	}
	backs := slices.DeleteFunc(slices.Clone(all), func(l rules.Line) bool { return !l.Struck })
	for range backs {
		g.expect(plot.TakenBack, worthBackOut)
	}
	for _, h := range left {
		b := haves[h].Body.(entry.Goal)
		i := g.momentOf(haves[h].Moment)
		f := Finding{Fault: GoalExtra, Skill: plot.Score, Moment: i, Entry: haves[h].Entry}
		for n, back := range backs {
			if place(back) == i && back.Body.(entry.Goal).Side == b.Side {
				f.Fault, f.Skill, f.Want = GoalNotBack, plot.TakenBack, back.Entry
				backs = slices.Delete(backs, n, n+1)
				break
			}
		}
		twice := slices.ContainsFunc(wants, func(l rules.Line) bool { return place(l) == i && l.Body.(entry.Goal).Side == b.Side })
		if f.Fault == GoalExtra && twice {
			f.Fault = GoalDouble
		}
		g.slip(f, "team", g.team(b.Side), "player", script.PlayerArg(b.Scorer, false))
	}
}

func unlike(differs bool, by int) int {
	if differs {
		return by
	}
	return 0
}

func (g *grading) team(side entry.Side) string {
	if side == entry.Visitors {
		return g.script.Visitors.Name
	}
	return g.script.Home.Name
}

// goal compares a goal with the learner's.
func (g *grading) goal(f Finding, a entry.Goal, have rules.Line) {
	b := have.Body.(entry.Goal)
	f.Entry = have.Entry
	found := false
	say := func(fault Fault, want, got string) {
		f.Fault, found = fault, true
		g.slip(f, "team", g.team(a.Side), "player", script.PlayerArg(a.Scorer, false), "want", want, "got", got)
	}
	if a.Side != b.Side {
		say(GoalSide, g.team(a.Side), g.team(b.Side))
		return // the numbers are another team's
	}
	if a.Scorer != b.Scorer {
		say(GoalScorer, orNobody(a.Scorer), orNobody(b.Scorer))
	}
	if !slices.Equal(a.Assists, b.Assists) {
		say(GoalAssists, orNobody(entry.Jersey(plot.Join(a.Assists))), orNobody(entry.Jersey(plot.Join(b.Assists))))
	}
	if a.On != b.On || a.EmptyNet != b.EmptyNet || a.OwnGoal != b.OwnGoal {
		say(GoalHow, "", "")
	}
	if g.momentOf(have.Moment) != f.Moment {
		say(GoalMoment, g.script.Moments[f.Moment].Right.Left.Left(), have.Moment.Left.Left())
	}
	if !found {
		g.lateOrAmended(f, have)
	}
}

func orNobody(j entry.Jersey) string {
	if j == "" {
		return "@drill.nobody"
	}
	return string(j)
}

// lateOrAmended says that something that is right in the end was not at once.
func (g *grading) lateOrAmended(f Finding, have rules.Line) {
	_, to := g.span(f.Moment)
	if !have.Amended && have.Wall <= to {
		return
	}
	f.Fault, f.Finally, f.Entry = EnteredLate, true, have.Entry
	g.slip(f)
}

// skillOfGoal is what a goal of the answer asks for.
func (g *grading) skillOfGoal(id string) plot.Skill {
	for _, goal := range g.want.Goals {
		if goal.Entry != id {
			continue
		}
		full := g.script.Division.Skaters
		for _, span := range g.want.Periods {
			if span.Period == goal.Moment.Period {
				full = span.Skaters
			}
		}
		scorers, against := goal.Skaters[goal.Side.Index()], goal.Skaters[goal.Side.Other().Index()]
		switch {
		case goal.Class == rules.PowerPlay && against == full-2 && scorers == full:
			return plot.FiveOnThree
		case goal.Class == rules.PowerPlay && against == full-2:
			return plot.TwoOnOne
		case goal.Class == rules.PowerPlay:
			return plot.PowerPlayGoal
		case goal.Class == rules.EvenStrength && scorers < full:
			return plot.EvenGoal
		}
	}
	return plot.Score
}

// skillOfCall is what a call of the answer asks for.
func (g *grading) skillOfCall(id string, p entry.Penalty) plot.Skill {
	minors := 0
	skill := plot.MinorCall
	for _, part := range p.Parts {
		switch part {
		case entry.Minor, entry.BenchMinor:
			minors++
		case entry.Misconduct:
			return plot.Misconduct
		case entry.Major, entry.Match:
			skill = plot.MajorCall
		case entry.GameMisconduct, entry.PenaltyShot:
		}
	}
	if minors > 1 {
		return plot.DoubleMinor
	}
	if p.Signalled {
		return plot.SignalledGoal
	}
	for _, t := range g.want.Terms {
		switch {
		case t.Entry != id:
		case t.Matched:
			return plot.Coincidental
		case t.Waits:
			return plot.DelayedThird
		}
	}
	return skill
}

// calls compares the calls that stand.
func (g *grading) calls() {
	g.same, g.wrong, g.other = map[player]player{}, map[string]bool{}, map[string]bool{}
	wants := standing(fresh(g.want, g.script.Given, entry.KindPenalty))
	haves := standing(fresh(g.have, g.script.Given, entry.KindPenalty))
	place := func(l rules.Line) int { return g.placeOf(g.cueOf(l.Entry)) }
	partner, left := pair(len(wants), len(haves), func(w, h int) int {
		a, b := wants[w].Body.(entry.Penalty), haves[h].Body.(entry.Penalty)
		apart := place(wants[w]) - g.momentOf(haves[h].Moment)
		far := apart > 2 || apart < -2
		if apart != 0 && (a.Side != b.Side || a.Player != b.Player || far && a.Call != b.Call) {
			return -1
		}
		return 3*apart*apart + unlike(a.Side != b.Side, 4) + unlike(a.Player != b.Player, 4) +
			unlike(a.Call != b.Call, 2) + unlike(!slices.Equal(a.Parts, b.Parts), 1)
	})
	for w, h := range partner {
		a := wants[w].Body.(entry.Penalty)
		skill := g.skillOfCall(wants[w].Entry, a)
		mumbled := g.mumbled(wants[w].Entry)
		if mumbled { // part of the call's points are for asking again
			g.expect(skill, worthCall-CallNumber.cost())
			g.expect(plot.Noise, CallNumber.cost())
		} else {
			g.expect(skill, worthCall)
		}
		f := Finding{Skill: skill, Moment: place(wants[w]), Want: wants[w].Entry}
		if h < 0 {
			g.wrong[wants[w].Entry] = true
			f.Fault = CallMissing
			g.slip(f, "team", g.team(a.Side), "player", script.PlayerArg(a.Player, a.Bench))
			continue
		}
		g.call(f, a, haves[h], mumbled)
	}
	for _, h := range left {
		b := haves[h].Body.(entry.Penalty)
		i := g.momentOf(haves[h].Moment)
		f := Finding{Fault: CallExtra, Skill: plot.MinorCall, Moment: i, Entry: haves[h].Entry}
		if slices.ContainsFunc(wants, func(l rules.Line) bool {
			a := l.Body.(entry.Penalty)
			return place(l) == i && a.Side == b.Side && a.Player == b.Player
		}) {
			f.Fault = CallDouble
		}
		g.other[haves[h].Entry] = true
		g.slip(f, "team", g.team(b.Side), "player", script.PlayerArg(b.Player, b.Bench))
	}
	g.order(wants, haves, partner)
}

// mumbled reports whether the number of a call was heard only by those who asked
// again.
func (g *grading) mumbled(id string) bool {
	cue := g.cueOf(id)
	return cue >= 0 && g.script.Cues[cue].Repeat != nil
}

// call compares a call with the learner's.
func (g *grading) call(f Finding, a entry.Penalty, have rules.Line, mumbled bool) {
	b := have.Body.(entry.Penalty)
	f.Entry = have.Entry
	found := false
	say := func(fault Fault, want, got string) {
		f := f
		f.Fault, found = fault, true
		if fault == CallNumber && mumbled {
			f.Skill = plot.Noise
		}
		g.other[have.Entry] = g.other[have.Entry] || fault != CallName
		g.slip(f, "team", g.team(a.Side), "player", script.PlayerArg(a.Player, a.Bench), "want", want, "got", got)
	}
	g.same[player{a.Side, a.Player}] = player{b.Side, b.Player}
	if a.ServedBy != "" && b.ServedBy != "" {
		g.same[player{a.Side, a.ServedBy}] = player{b.Side, b.ServedBy}
	}
	switch {
	case a.Side != b.Side:
		say(CallSide, g.team(a.Side), g.team(b.Side))
	case a.Player != b.Player || a.Bench != b.Bench:
		say(CallNumber, script.PlayerArg(a.Player, a.Bench), orNobody(b.Player))
	}
	length := func(p entry.Penalty) entry.Millis {
		return script.LengthOf(g.script.Division, p, g.script.Moments[f.Moment].At.Period)
	}
	switch {
	case slices.Equal(a.Parts, []entry.Part{entry.Minor, entry.Minor}) && slices.Equal(b.Parts, []entry.Part{entry.Minor}):
		say(CallDoubled, rules.PartsArg(a.Parts), rules.PartsArg(b.Parts))
	case !slices.Equal(a.Parts, b.Parts):
		say(CallLength, rules.PartsArg(a.Parts), rules.PartsArg(b.Parts))
	case length(a) != length(b):
		say(CallLength, length(a).Left(), length(b).Left())
	}
	if a.Signalled != b.Signalled {
		say(CallSignal, "", "")
	}
	if a.ServedBy != b.ServedBy && a.ServedBy != "" {
		say(CallServer, string(a.ServedBy), orNobody(b.ServedBy))
	}
	if a.Call != b.Call {
		say(CallName, "@call."+a.Call, "@call."+cmp.Or(b.Call, "owed"))
	}
	if g.momentOf(have.Moment) != f.Moment {
		say(CallMoment, g.script.Moments[f.Moment].Right.Left.Left(), have.Moment.Left.Left())
	}
	if !found {
		g.lateOrAmended(f, have)
	}
}

// order finds calls of one side at one stoppage that were entered in another
// order than the referee gave: it decides who waits, and what cancels. Who then
// sits for whom follows from it, and is not said again.
func (g *grading) order(wants, haves []rules.Line, partner []int) {
	seq := map[string]int{}
	for i, c := range g.have.Calls {
		seq[c.Entry] = i
	}
	for w := 1; w < len(wants); w++ {
		if partner[w] < 0 || partner[w-1] < 0 {
			continue
		}
		a, b := wants[w-1], wants[w]
		i := g.placeOf(g.cueOf(b.Entry))
		sides := a.Body.(entry.Penalty).Side == b.Body.(entry.Penalty).Side
		if sides && g.placeOf(g.cueOf(a.Entry)) == i && seq[haves[partner[w-1]].Entry] > seq[haves[partner[w]].Entry] {
			one, other := haves[partner[w-1]], haves[partner[w]]
			g.swap(player{b.Body.(entry.Penalty).Side, one.Body.(entry.Penalty).Player}, player{b.Body.(entry.Penalty).Side, other.Body.(entry.Penalty).Player})
			g.other[one.Entry], g.other[other.Entry] = true, true
			g.slip(Finding{Fault: CallOrder, Skill: plot.DelayedThird, Moment: i, Want: b.Entry, Entry: haves[partner[w]].Entry},
				"team", g.team(b.Body.(entry.Penalty).Side))
		}
	}
}
