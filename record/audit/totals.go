package audit

import (
	"strconv"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/record/report"
)

// totals compares what is written as a total with the lines.
func (a *auditor) totals() {
	count := report.CountTo(a.state, a.played())
	for _, t := range a.s.Totals {
		if !t.Side.Valid() {
			continue
		}
		want, known := a.total(t, count)
		if !known || want == t.Count {
			continue
		}
		place := Place{Row: t.Row, Side: t.Side, At: entry.At{Period: t.Period}}
		kind := TotalWrong
		if t.Total == TotalScore {
			kind = ScoreWrong
		}
		what := "@audit.total." + string(t.Total)
		f := a.find(kind, ofTotals, place, "", "total", what, "claimed", strconv.Itoa(t.Count), "right", strconv.Itoa(want))
		f.detail = string(t.Total)
		if t.Total == TotalChances { // leagues differ in what they count
			f.Severity = Look
			f.Why.Say.Key += ".power_plays"
		}
		if t.Period > 0 {
			f.Where.Period = t.Period
			f.What.Key += ".period"
		}
	}
	a.shotsBelowGoals()
}

// total works a total out from the lines.
func (a *auditor) total(t SheetTotal, count report.Totals) (int, bool) {
	side := count.Sides[t.Side.Index()]
	switch t.Total {
	case TotalGoals, TotalScore:
		n := 0
		for i := range a.s.Goals {
			if g := &a.s.Goals[i]; g.Side == t.Side && (t.Period == 0 || !g.NoTime && g.At.Period == t.Period) {
				n++
			}
		}
		if t.Total == TotalScore && a.s.ShootOut == t.Side {
			n++
		}
		return n, true
	case TotalShots:
		n, known := 0, false
		for _, s := range a.s.Shots {
			if t.Period == 0 || s.Period == t.Period {
				known = true
				if s.Side == t.Side {
					n += s.Count
				}
			}
		}
		return n, known
	case TotalPenalties:
		return a.sum(t, func(c *SheetCall) entry.Millis {
			if c.Wiped {
				return 0
			}
			return entry.Millis(len(c.Parts))
		}), true
	case TotalMinutes:
		sum := a.sum(t, func(c *SheetCall) entry.Millis {
			if c.Charged != nil {
				return *c.Charged
			}
			return a.minutes(c)
		})
		return sum / int(entry.Clock(1, 0)), true
	case TotalPowerPlayGoals:
		return a.powerPlayGoals(t), true
	case TotalChances:
		return side.PowerPlays.Chances, t.Period == 0
	default:
		return 0, false
	}
}

// powerPlayGoals counts by the classes that are written, which are audited by
// themselves.
func (a *auditor) powerPlayGoals(t SheetTotal) (n int) {
	for i := range a.s.Goals {
		g := &a.s.Goals[i]
		if g.Side != t.Side || t.Period > 0 && (g.NoTime || g.At.Period != t.Period) {
			continue
		}
		class := g.Class
		if played := a.goal(i); class == "" && played != nil {
			class = played.Class
		}
		if class == rules.PowerPlay {
			n++
		}
	}
	return n
}

// sum adds something up over the penalties of a side.
func (a *auditor) sum(t SheetTotal, of func(*SheetCall) entry.Millis) int {
	sum := entry.Millis(0)
	for i := range a.s.Calls {
		if c := &a.s.Calls[i]; c.Side == t.Side && (t.Period == 0 || !c.NoTime && c.At.Period == t.Period) {
			sum += of(c)
		}
	}
	return int(sum)
}

// shotsBelowGoals compares shots with goals: every goal but an own goal is a
// shot on goal.
func (a *auditor) shotsBelowGoals() {
	for _, p := range a.s.Periods {
		for _, side := range entry.Sides {
			shots, kept, row := 0, false, 0
			for _, s := range a.s.Shots {
				if s.Period == p.Period {
					kept = true
					if s.Side == side {
						shots, row = shots+s.Count, s.Row
					}
				}
			}
			goals := 0
			for i := range a.s.Goals {
				if g := &a.s.Goals[i]; g.Side == side && !g.NoTime && g.At.Period == p.Period && !g.OwnGoal {
					goals++
				}
			}
			if kept && shots < goals {
				f := a.find(ShotsBelowGoals, ofTotals, Place{Row: row, Side: side, At: entry.At{Period: p.Period}}, "",
					"shots", strconv.Itoa(shots), "goals", strconv.Itoa(goals))
				f.Where.Period = p.Period
			}
		}
	}
}

// figuresOf adds up the lines that name a player.
func (a *auditor) figuresOf(side entry.Side, number entry.Jersey) SheetPlayer {
	sum := SheetPlayer{Side: side, Number: number}
	for i := range a.s.Goals {
		g := &a.s.Goals[i]
		if g.Side != side || number == "" {
			continue
		}
		if g.Scorer == number {
			sum.Goals++
		}
		for _, j := range g.Assists {
			if j == number {
				sum.Assists++
			}
		}
	}
	for i := range a.s.Calls {
		c := &a.s.Calls[i]
		if c.Side != side || c.Player != number {
			continue
		}
		if c.Charged != nil {
			sum.Minutes += *c.Charged
		} else {
			sum.Minutes += a.minutes(c)
		}
	}
	return sum
}

// players compares the figures of players with the lines.
func (a *auditor) players() {
	for _, p := range a.s.Players {
		want := a.figuresOf(p.Side, p.Number)
		for _, one := range []struct {
			what           string
			claimed, right string
		}{
			{"goals", strconv.Itoa(p.Goals), strconv.Itoa(want.Goals)},
			{"assists", strconv.Itoa(p.Assists), strconv.Itoa(want.Assists)},
			{"minutes", p.Minutes.String(), want.Minutes.String()},
		} {
			if one.claimed != one.right {
				f := a.find(PlayerTotal, ofTotals, Place{Row: p.Row, Side: p.Side}, p.Number,
					"total", "@audit.total."+one.what, "claimed", one.claimed, "right", one.right)
				f.detail = one.what
			}
		}
	}
}
