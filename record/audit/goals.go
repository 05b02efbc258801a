package audit

import (
	"strconv"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
)

// goals looks at every goal by itself, and at the score that grows with them.
func (a *auditor) goals() {
	a.sentOff()
	score, off := [2]int{}, [2]int{}
	moments := map[entry.At]bool{}
	scored := map[who]int{}
	for i := range a.s.Goals {
		g := &a.s.Goals[i]
		if g.Side.Valid() {
			score[g.Side.Index()]++
		}
		if g.Score != nil {
			now := [2]int{g.Score[0] - score[0], g.Score[1] - score[1]}
			if now != off { // said once, where it goes wrong
				a.find(GoalScore, ofLines, g.Place, g.Scorer,
					"claimed", scoreWords(*g.Score), "right", scoreWords(score))
			}
			off = now
		}
		if !g.NoTime {
			if moments[g.At] {
				a.find(GoalTwice, ofLines, g.Place, g.Scorer)
			}
			moments[g.At] = true
		}
		a.goalPlayers(g)
		a.goalNet(g)
		a.goalOnIce(g)
		if !a.classFits(i) {
			a.badClass(i)
		}
		scored[who{g.Side, g.Scorer}]++
		if most := a.s.Division.Limits.GoalsByPlayer; most > 0 && g.Scorer != "" && scored[who{g.Side, g.Scorer}] > most {
			a.find(GoalLimit, ofLines, g.Place, g.Scorer, "most", strconv.Itoa(most))
		}
	}
}

func scoreWords(s [2]int) string { return strconv.Itoa(s[0]) + "–" + strconv.Itoa(s[1]) }

// goalPlayers looks at the scorer and the assists.
func (a *auditor) goalPlayers(g *SheetGoal) {
	if g.Scorer == "" && !g.OwnGoal && !g.Nameless {
		a.find(ScorerMissing, ofLines, g.Place, "")
	}
	if len(g.Assists) > 2 {
		a.find(AssistsMany, ofLines, g.Place, g.Scorer, "count", strconv.Itoa(len(g.Assists)))
	}
	named := map[entry.Jersey]bool{}
	for _, j := range g.Assists {
		switch {
		case j == "":
			a.find(AssistMissing, ofLines, g.Place, g.Scorer)
		case j == g.Scorer:
			a.find(AssistSelf, ofLines, g.Place, j)
		case named[j]:
			a.find(AssistTwice, ofLines, g.Place, j)
		}
		named[j] = true
	}
	if len(g.Assists) > 0 {
		switch {
		case g.On != entry.OnPlay:
			a.find(ShotAssisted, ofLines, g.Place, g.Scorer, "on", "@class."+string(g.On))
		case g.OwnGoal:
			a.find(OwnAssisted, ofLines, g.Place, g.Scorer)
		}
	}
	seen := map[entry.Jersey]bool{}
	for _, j := range append([]entry.Jersey{g.Scorer}, g.Assists...) {
		if j == "" || seen[j] {
			continue
		}
		seen[j] = true
		a.takesPart(g.Place, j)
		if g.NoTime || g.On != entry.OnPlay {
			continue
		}
		if t, sat := a.inBox(g.Place, j); sat {
			a.find(InBox, ofLines, g.Place, j, a.penaltyArgs(t)...)
		}
	}
}

// classFits reports whether the class of a goal can be. Whole seconds cannot say
// which came first, a goal or the end of a penalty in the same second: then
// either class fits.
func (a *auditor) classFits(i int) bool {
	g := &a.s.Goals[i]
	if g.Class == "" {
		return true
	}
	played := a.goal(i)
	if played == nil || played.Class == g.Class {
		return true
	}
	at := played.Moment.Abs
	for t := range a.state.Terms {
		t := &a.state.Terms[t]
		if !t.Costs || t.Ended != rules.ByTime || t.End.Abs < at-a.slack || t.End.Abs > at+a.slack || a.slack == 0 {
			continue
		}
		if classOf(a.skaters(t.End.Abs-1), g.Side) == g.Class ||
			t.End.Abs > at && classOf(a.skaters(t.End.Abs), g.Side) == g.Class {
			return true
		}
	}
	return false
}

// skaters returns how many skaters each side has at a moment of play.
func (a *auditor) skaters(abs entry.Millis) [2]int {
	var n [2]int
	for _, step := range a.state.Strength {
		if step.From.Abs > abs {
			break
		}
		n = step.Skaters
	}
	return n
}

// goal finds the goal as the rules have it.
func (a *auditor) goal(i int) *rules.Goal {
	id := goalID(&a.s.Goals[i], i)
	for n := range a.state.Goals {
		if a.state.Goals[n].Entry == id {
			return &a.state.Goals[n]
		}
	}
	return nil
}

func classOf(skaters [2]int, side entry.Side) rules.Class {
	mine, theirs := skaters[side.Index()], skaters[side.Other().Index()]
	switch {
	case mine > theirs:
		return rules.PowerPlay
	case mine < theirs:
		return rules.ShortHanded
	default:
		return rules.EvenStrength
	}
}

func (a *auditor) badClass(i int) {
	g, played := &a.s.Goals[i], a.goal(i)
	mine, theirs := played.Skaters[g.Side.Index()], played.Skaters[g.Side.Other().Index()]
	f := a.find(GoalClass, ofLines, g.Place, g.Scorer,
		"claimed", "@class."+string(g.Class), "right", "@class."+string(played.Class),
		"mine", strconv.Itoa(mine), "theirs", strconv.Itoa(theirs))
	f.Why.Code, f.Why.Rule = a.code.ID, a.code.Rules[rulebook.TopicGoalEnds].Rule
}

// goalNet looks at who kept the net that was scored on.
func (a *auditor) goalNet(g *SheetGoal) {
	if g.NoTime || !g.Side.Valid() {
		return
	}
	against := g.Side.Other()
	inNet, known := a.inNet(against, g.At)
	if !known {
		return
	}
	empty, kept := false, false
	var names []entry.Jersey
	for _, j := range inNet {
		empty, kept = empty || j == "", kept || j != ""
		if j != "" {
			names = append(names, j)
		}
	}
	place := g.Place
	switch {
	case g.EmptyNet && !empty:
		a.find(EmptyNetKept, ofLines, place, g.Scorer, "goalkeeper", string(names[0]))
	case !g.EmptyNet && !kept && g.On == entry.OnPlay && !g.OwnGoal:
		a.find(EmptyNetUnsaid, ofLines, place, g.Scorer)
	}
	if g.Goalkeeper == "" || len(names) == 0 {
		return
	}
	for _, j := range names {
		if j == g.Goalkeeper {
			return
		}
	}
	a.find(GoalGoalkeeper, ofLines, place, g.Scorer, "goalkeeper", string(g.Goalkeeper), "right", string(names[0]))
}

// inNet returns who may have kept a side's net at a moment: who was there before
// it, and whoever came in at that very moment. It is not known before the first
// change.
func (a *auditor) inNet(side entry.Side, at entry.At) (numbers []entry.Jersey, known bool) {
	abs := a.abs(at)
	for _, c := range a.s.Changes {
		if c.Side != side || c.NoTime {
			continue
		}
		switch when := a.abs(c.At); {
		case when > abs+a.slack:
		case when < abs-a.slack:
			numbers, known = []entry.Jersey{c.Number}, true
		default:
			numbers, known = append(numbers, c.Number), true
		}
	}
	return numbers, known
}

// goalOnIce looks at the lists of who was on the ice, where they are kept.
func (a *auditor) goalOnIce(g *SheetGoal) {
	for i, side := range entry.Sides {
		on := g.OnIce[i]
		if len(on) == 0 {
			continue
		}
		place := g.Place
		place.Side = side
		if len(on) > mostOnIce {
			a.find(OnIceMany, ofLines, place, "", "count", strconv.Itoa(len(on)))
		}
		for _, j := range on {
			a.takesPart(place, j)
			if t, sat := a.inBox(place, j); sat && !g.NoTime && j != g.Scorer {
				a.find(InBox, ofLines, place, j, a.penaltyArgs(t)...)
			}
		}
		if side != g.Side || g.OwnGoal {
			continue
		}
		for _, j := range append([]entry.Jersey{g.Scorer}, g.Assists...) {
			if j != "" && !has(on, j) {
				a.find(OnIceScorer, ofLines, place, j)
			}
		}
	}
}

// mostOnIce is how many players of a side may be on the ice: five skaters and a
// goalkeeper, or six skaters (USA Hockey web rule book, Rule 638(a) speaks of
// full strength; six from memory).
const mostOnIce = 6

func has(list []entry.Jersey, j entry.Jersey) bool {
	for _, one := range list {
		if one == j {
			return true
		}
	}
	return false
}
