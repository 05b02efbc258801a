package audit

import (
	"slices"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// times looks at the moments of goals and penalties.
func (a *auditor) times() {
	var goals, calls []Place
	for i := range a.s.Goals {
		goals = append(goals, a.s.Goals[i].Place)
	}
	for i := range a.s.Calls {
		calls = append(calls, a.s.Calls[i].Place)
	}
	reversed, ordered := a.reversed(goals, calls), inOrder(goals, calls)
	if reversed {
		a.find(TimesReversed, ofTeams, Place{}, "", "times", "@audit.times."+string(a.s.Times))
	}
	for _, lines := range [][]Place{goals, calls} {
		var last *Place
		for i := range lines {
			p := &lines[i]
			if i > 0 && p.Entry != "" && p.Entry == lines[i-1].Entry {
				continue // another part of the same call
			}
			if !a.moment(*p) {
				continue
			}
			if last != nil && p.At.Compare(last.At) < 0 && ordered && !reversed {
				a.find(OutOfOrder, ofLines, *p, "", "before", a.clock(last.At), "before_period", a.period(last.At.Period))
			}
			last = p
		}
	}
}

// reversed reports whether most lines of a sheet run backwards within their
// period: then it was read with the wrong form of times.
func (a *auditor) reversed(lists ...[]Place) bool {
	forward, backward := 0, 0
	for _, lines := range lists {
		for i := 1; i < len(lines); i++ {
			x, y := lines[i-1], lines[i]
			switch {
			case x.NoTime || y.NoTime || x.At.Period != y.At.Period:
			case y.At.Elapsed < x.At.Elapsed:
				backward++
			case y.At.Elapsed > x.At.Elapsed:
				forward++
			}
		}
	}
	return !a.s.Exact && backward >= 3 && backward > 2*forward
}

// inOrder reports whether the lines of a sheet are meant to stand in the order of
// the game: most of them do. Lines sorted by team or by player say nothing with
// where they stand.
func inOrder(lists ...[]Place) bool {
	forward, backward := 0, 0
	for _, lines := range lists {
		for i := 1; i < len(lines); i++ {
			if x, y := lines[i-1], lines[i]; !x.NoTime && !y.NoTime {
				switch c := y.At.Compare(x.At); {
				case c > 0:
					forward++
				case c < 0:
					backward++
				}
			}
		}
	}
	return forward > 3*backward
}

// moment looks at one moment, and reports whether it is one.
func (a *auditor) moment(p Place) bool {
	if p.NoTime {
		a.find(TimeMissing, ofLines, p, "")
		return false
	}
	length, played := a.length(p.At.Period)
	if !played {
		a.find(PeriodUnknown, ofLines, p, "")
		return false
	}
	if p.At.Elapsed < 0 || p.At.Elapsed > length {
		a.find(TimeOutside, ofLines, p, "", "length", length.String())
		return false
	}
	return true
}

// takesPart looks at somebody who is named in a line: on the roster, fit to play
// and not sent off before.
func (a *auditor) takesPart(p Place, j entry.Jersey) {
	if j == "" || !p.Side.Valid() {
		return
	}
	if m := a.member(p.Side, j); m == nil {
		if len(a.s.Teams[p.Side.Index()].Players) > 0 {
			a.find(NumberUnlisted, ofLines, p, j)
		}
	} else if m.Away != "" {
		a.find(AwayTakesPart, ofLines, p, j, "status", "@audit.status."+m.Away)
	}
	if out, sentOff := a.outs[who{p.Side, j}]; sentOff && !p.NoTime && p.At.Compare(out) > 0 {
		a.find(OutTakesPart, ofLines, p, j, "out", a.clock(out), "out_period", a.period(out.Period))
	}
}

// sentOff notes when each player was sent off: by a call that says so, or by the
// book's count of misconducts.
func (a *auditor) sentOff() {
	misconducts := map[who]int{}
	for i := range a.s.Calls {
		c := &a.s.Calls[i]
		if c.Player == "" || c.NoTime {
			continue
		}
		w := who{c.Side, c.Player}
		gone := slices.ContainsFunc(c.Parts, entry.Part.Ejects)
		for _, part := range c.Parts {
			if part == entry.Misconduct {
				misconducts[w]++
			}
		}
		if most := a.code.Policies.MisconductsToEject; most > 0 && misconducts[w] >= most {
			gone = true
		}
		if before, known := a.outs[w]; gone && (!known || c.At.Compare(before) < 0) {
			a.outs[w] = c.At
		}
	}
}

// inBox returns the penalty for which a player sat in the box at a moment, if
// one called before it.
func (a *auditor) inBox(p Place, j entry.Jersey) (rules.Term, bool) {
	at := a.abs(p.At)
	for _, t := range a.state.Terms {
		if t.Side != p.Side || t.Entry == p.Entry && p.Entry != "" || t.Ended == rules.Wiped || t.Ended == rules.NotServed ||
			t.Start.Abs+a.slack >= at {
			continue
		}
		gone := t.End.Abs // a sheet does not know every whistle
		if a.s.Exact && t.Out != nil {
			gone = t.Out.Abs
		}
		if at+a.slack >= gone {
			continue
		}
		serves := t.Player == j && !t.Bench && !a.isGoalkeeper(p.Side, j)
		if t.Sits == j || serves {
			return t, true
		}
	}
	return rules.Term{}, false
}

// penaltyArgs say which penalty.
func (a *auditor) penaltyArgs(t rules.Term) []string {
	return []string{
		"part", "@part." + string(t.Part), "out", a.clock(entry.At{Period: t.End.Period, Elapsed: t.End.Elapsed}),
		"out_period", a.period(t.End.Period),
	}
}
