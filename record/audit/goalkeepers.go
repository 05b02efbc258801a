package audit

import (
	"strconv"

	"whistlestop/game/entry"
	"whistlestop/record/report"
)

// goalkeepers looks at who kept goal, for how long and how well.
func (a *auditor) goalkeepers() {
	for i := range a.s.Changes {
		c := &a.s.Changes[i]
		a.takesPart(c.Place, c.Number)
		a.listed(c.Place, c.Number)
		for j := range i {
			b := &a.s.Changes[j]
			if b.Side == c.Side && b.At.Compare(c.At) == 0 && b.Number != c.Number && b.Number != "" && c.Number != "" {
				a.find(GoalkeepersTwo, ofLines, c.Place, c.Number, "other", string(b.Number))
			}
		}
	}
	for i := range a.s.Goalkeepers {
		k := &a.s.Goalkeepers[i]
		a.listed(Place{Row: k.Row, Side: k.Side}, k.Number)
		a.saves(k)
	}
	for _, side := range entry.Sides {
		a.timeInNet(side)
		a.goalsAgainst(side)
		a.shotsAgainst(side)
	}
}

// listed looks at a number in goal that the roster has as a skater.
func (a *auditor) listed(p Place, j entry.Jersey) {
	m := a.member(p.Side, j)
	if m == nil || m.Goalkeeper {
		return
	}
	for _, o := range a.s.Teams[p.Side.Index()].Players {
		if o.Goalkeeper { // otherwise the roster does not say who keeps goal
			a.find(GoalkeeperListed, ofTotals, p, j)
			return
		}
	}
}

func (a *auditor) saves(k *SheetGoalkeeper) {
	if k.Shots == nil || k.GoalsAgainst == nil || k.Saves == nil || *k.Saves == *k.Shots-*k.GoalsAgainst {
		return
	}
	// Goals that are no shots of the other side, or more goals than shots, are
	// found where they are.
	if own := a.ownGoals(k.Side); own > 0 && *k.Saves <= *k.Shots-*k.GoalsAgainst+own && *k.Saves >= *k.Shots-*k.GoalsAgainst {
		return
	}
	a.find(GoalkeeperSaves, ofTotals, Place{Row: k.Row, Side: k.Side}, k.Number,
		"shots", strconv.Itoa(*k.Shots), "goals", strconv.Itoa(*k.GoalsAgainst),
		"claimed", strconv.Itoa(*k.Saves), "right", strconv.Itoa(*k.Shots-*k.GoalsAgainst))
}

// ownGoals counts the goals against a side that it shot itself.
func (a *auditor) ownGoals(side entry.Side) int {
	n := 0
	for i := range a.s.Goals {
		if g := &a.s.Goals[i]; g.OwnGoal && g.Side == side.Other() {
			n++
		}
	}
	return n
}

// played returns how long the game was: as the sheet says, or the periods that
// were played, up to the goal that ended it.
func (a *auditor) played() entry.Millis {
	if a.s.Played > 0 {
		return a.s.Played
	}
	return report.Played(a.state)
}

// missingTime is how much less than the game the times of goalkeepers may come
// to on a sheet that has no changes in goal: a net is emptied at the end
// (common practice, no source).
const missingTime = entry.Millis(5 * 60_000)

// timeInNet compares the times of a side's goalkeepers with the game.
func (a *auditor) timeInNet(side entry.Side) {
	sum, n, row := entry.Millis(0), entry.Millis(0), 0
	for i := range a.s.Goalkeepers {
		if k := &a.s.Goalkeepers[i]; k.Side == side && k.Time != nil {
			sum, n, row = sum+*k.Time, n+1, k.Row
		}
	}
	if n == 0 || !a.s.Finished {
		return
	}
	want, known := a.inNetTime(side)
	slack := max(a.slack, 1000) * (n + 1)
	if sum <= want+slack && (sum >= want-slack || !known && sum >= want-missingTime) {
		return
	}
	a.find(GoalkeeperTime, ofTotals, Place{Row: row, Side: side}, "", "claimed", sum.String(), "right", want.String())
}

// inNetTime returns how long a side had a goalkeeper in the net, and whether the
// changes tell.
func (a *auditor) inNetTime(side entry.Side) (entry.Millis, bool) {
	end := a.played()
	sum, since, kept, known := entry.Millis(0), entry.Millis(0), false, false
	for _, c := range a.s.Changes {
		if c.Side != side || c.NoTime {
			continue
		}
		at := entry.Millis(0)
		if c.At.Period > 0 {
			at = min(a.abs(c.At), end)
		}
		if !known && at > 0 {
			return end, false // who began is not written
		}
		if kept {
			sum += at - since
		}
		since, kept, known = at, c.Number != "", true
	}
	if !known {
		return end, false
	}
	if kept {
		sum += end - since
	}
	return sum, true
}

// goalsAgainst compares the goals against a side's goalkeepers with the goals.
func (a *auditor) goalsAgainst(side entry.Side) {
	sum, row, claimed := 0, 0, false
	for i := range a.s.Goalkeepers {
		if k := &a.s.Goalkeepers[i]; k.Side == side && k.GoalsAgainst != nil {
			sum, row, claimed = sum+*k.GoalsAgainst, k.Row, true
		}
	}
	if !claimed {
		return
	}
	want, empty := 0, 0
	for i := range a.s.Goals {
		g := &a.s.Goals[i]
		if g.Side != side.Other() {
			continue
		}
		inNet, known := a.inNet(side, g.At)
		if g.EmptyNet || known && len(inNet) == 1 && inNet[0] == "" {
			empty++
			continue
		}
		want++
	}
	if sum != want && !(sum == want+empty && len(a.s.Changes) == 0) {
		a.find(GoalkeeperGoals, ofTotals, Place{Row: row, Side: side}, "", "claimed", strconv.Itoa(sum), "right", strconv.Itoa(want))
	}
}

// shotsAgainst compares the shots at a side's goalkeepers with the other side's
// shots. Some leagues count shots at an empty net, some do not.
func (a *auditor) shotsAgainst(side entry.Side) {
	sum, row, claimed, shots := 0, 0, false, 0
	for i := range a.s.Goalkeepers {
		if k := &a.s.Goalkeepers[i]; k.Side == side && k.Shots != nil {
			sum, row, claimed = sum+*k.Shots, k.Row, true
		}
	}
	empty, known, byGoalkeeper := 0, false, false
	for _, s := range a.s.Shots {
		known = true
		if s.Side == side.Other() {
			shots += s.Count
			byGoalkeeper = byGoalkeeper || s.Goalkeeper != ""
			if s.Goalkeeper == "" {
				empty += s.Count
			}
		}
	}
	if !claimed || !known {
		return
	}
	if !byGoalkeeper {
		empty = 0
	}
	for i := range a.s.Goals {
		if g := &a.s.Goals[i]; g.Side == side.Other() && g.EmptyNet && !byGoalkeeper {
			empty++
		}
	}
	if sum > shots || sum < shots-empty {
		a.find(GoalkeeperShots, ofTotals, Place{Row: row, Side: side}, "", "claimed", strconv.Itoa(sum), "right", strconv.Itoa(shots))
	}
}
