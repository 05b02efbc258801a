package rules

import (
	"slices"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
)

// unit is one part of a call that an equal part of the other side may cancel.
type unit struct {
	c *called
	p *calledPart
}

// group of a side's units of one kind, in the order called.
type units []unit

// match works out the coincidental penalties of a stoppage: as many majors and
// match penalties as possible first, then as many minors (IIHF 19.4, NHL 19.5,
// USA Hockey casebook 403, Hockey Canada branch slides). What cancels is
// substituted at once, stays off the clock and waits for a whistle.
func (b *box) match(group []*called, at entry.At) {
	var majors, minors [2]units
	for _, c := range group {
		i := c.p.Side.Index()
		for _, p := range c.parts {
			switch {
			case p.wiped, p.untimed:
			case p.term.Part.IsMajor():
				majors[i] = append(majors[i], unit{c, p})
			case p.term.Part.IsMinor():
				minors[i] = append(minors[i], unit{c, p})
			}
		}
	}
	if len(majors[0])+len(minors[0]) == 0 || len(majors[1])+len(minors[1]) == 0 {
		return // only one side was called: nothing cancels
	}
	if b.fourOnFour(majors, minors) {
		return
	}
	var keep [2]kept
	for _, side := range entry.Sides {
		i, o := side.Index(), side.Other().Index()
		keep[i] = b.keep(side, majors[i], minors[i], majors[o], minors[o])
	}
	b.cancel(majors, keep, true)
	b.cancel(minors, keep, false)
	b.late(majors, minors, at)
}

// fourOnFour plays exactly one minor of each side, with nothing else on the
// clock, a skater short on both sides, if the book says so (NHL 19.1; the IIHF
// before 2021). In overtime with fewer skaters it changes nothing (NHL 84.3).
func (b *box) fourOnFour(majors, minors [2]units) bool {
	if b.code.Policies.OneMinorEach != rulebook.FourOnFour || b.base != b.division.Skaters {
		return false
	}
	for i := range minors {
		if len(minors[i]) != 1 || len(majors[i]) != 0 || b.sides[i].open() > 0 {
			return false
		}
	}
	for i := range minors {
		u := minors[i][0]
		u.p.four = true
		u.c.note(u.p, b.reason(rulebook.TopicMatchedFour, "follows.matched_four", u.c.args()))
	}
	return true
}

// kept is what a side still serves after cancelling: units marked true.
type kept struct {
	units map[*calledPart]bool
}

// keep decides which of a side's penalties stay on the clock when it has more
// than the other side has. The captain chooses among players; until then, and
// where the book gives an order: as few skaters short as possible, then nobody
// taken off the ice besides, then the first called cancels first (Hockey Canada
// branch slides; the others leave it to the captain).
func (b *box) keep(side entry.Side, majors, minors, theirMajors, theirMinors units) kept {
	stayMajors := max(0, len(majors)-len(theirMajors))
	stayMinors := max(0, len(minors)-len(theirMinors))
	matches := b.keptMatches(majors, theirMajors)
	pickMajors := b.choice(side, majors, stayMajors, "major")
	pickMinors := b.choice(side, minors, stayMinors, "minor")
	var best kept
	bestCost := []int(nil)
	for _, ma := range subsets(majors, stayMajors) {
		if !obeys(majors, ma, pickMajors) {
			continue
		}
		for _, mi := range subsets(minors, stayMinors) {
			if !obeys(minors, mi, pickMinors) {
				continue
			}
			cost := append([]int{distance(majors, ma, matches)}, costOf(majors, minors, ma, mi)...)
			if bestCost == nil || slices.Compare(cost, bestCost) < 0 {
				bestCost = cost
				best = kept{units: map[*calledPart]bool{}}
				for _, i := range ma {
					best.units[majors[i].p] = true
				}
				for _, i := range mi {
					best.units[minors[i].p] = true
				}
			}
		}
	}
	b.setDefaults(side, majors, best, "major")
	b.setDefaults(side, minors, best, "minor")
	return best
}

// keptMatches returns how many of a side's match penalties stay on the clock
// where the book pairs equal kinds before a major with a match (USA Hockey
// casebook 403), and -1 where it does not care.
func (b *box) keptMatches(mine, theirs units) int {
	if !b.code.Policies.MatchApart {
		return -1
	}
	myMatches, theirMatches := mine.matches(), theirs.matches()
	theirMajorsLeft := max(0, len(theirs)-theirMatches-(len(mine)-myMatches))
	return max(0, myMatches-theirMatches-theirMajorsLeft)
}

func (list units) matches() (n int) {
	for _, u := range list {
		if u.p.term.Part == entry.Match {
			n++
		}
	}
	return n
}

// distance is how far the match penalties kept are from the number wanted.
func distance(majors units, keep []int, want int) int {
	if want < 0 {
		return 0
	}
	have := 0
	for _, i := range keep {
		if majors[i].p.term.Part == entry.Match {
			have++
		}
	}
	return max(have-want, want-have)
}

// costOf ranks a way to keep penalties: skaters short, players who sit both on
// and off the clock, and then where the kept ones stand in the order called.
func costOf(majors, minors units, keepMajors, keepMinors []int) []int {
	on, off := map[*row]bool{}, map[*row]bool{}
	count := func(list units, keep []int) {
		for i, u := range list {
			if slices.Contains(keep, i) {
				on[u.c.row] = true
			} else {
				off[u.c.row] = true
			}
		}
	}
	count(majors, keepMajors)
	count(minors, keepMinors)
	both := 0
	for r := range on {
		if off[r] {
			both++
		}
	}
	cost := []int{len(on), both}
	for _, keep := range [][]int{keepMajors, keepMinors} {
		for _, i := range keep {
			cost = append(cost, -i)
		}
	}
	return cost
}

// subsets lists the ways to take n of the units, by index, in order. A stoppage
// has few calls: with more than a dozen units only the last n are offered.
func subsets(list units, n int) [][]int {
	if n > len(list) {
		n = len(list)
	}
	if len(list) > 12 {
		last := make([]int, n)
		for i := range last {
			last[i] = len(list) - n + i
		}
		return [][]int{last}
	}
	out := [][]int{}
	var walk func(from int, taken []int)
	walk = func(from int, taken []int) {
		if len(taken) == n {
			out = append(out, slices.Clone(taken))
			return
		}
		for i := from; i < len(list); i++ {
			walk(i+1, append(taken, i))
		}
	}
	walk(0, nil)
	return out
}

// obeys reports whether keeping these units is what the captain named: every
// kept unit belongs to a named player, or all that the named players have is
// kept, and each named player keeps at least one.
func obeys(list units, keep []int, picks []entry.Jersey) bool {
	if len(picks) == 0 {
		return true
	}
	named, kept := map[entry.Jersey]int{}, map[entry.Jersey]int{}
	for _, u := range list {
		if slices.Contains(picks, u.c.p.Player) {
			named[u.c.p.Player]++
		}
	}
	others := 0
	for _, i := range keep {
		player := list[i].c.p.Player
		kept[player]++
		if named[player] == 0 {
			others++
		}
	}
	all := 0
	for player, has := range named {
		if kept[player] == 0 {
			return false
		}
		all += has - kept[player]
	}
	return others == 0 || all == 0
}

// choice asks which of a side's players serve, where some but not all of their
// equal penalties cancel and more than one player has one. It returns the
// answer.
func (b *box) choice(side entry.Side, list units, stay int, kind string) []entry.Jersey {
	players := playersOf(list)
	if stay == 0 || stay == len(list) || len(players) < 2 {
		return nil
	}
	id := "serve/" + kind + "/" + list[0].c.play.id
	ask := Say{Key: "ask.serve_minor"}
	if kind == "major" {
		ask = Say{Key: "ask.serve_major"}
	}
	picks, answered := b.answers[id]
	picks = slices.DeleteFunc(slices.Clone(picks), func(j entry.Jersey) bool { return !slices.Contains(players, j) })
	if len(picks) > stay {
		picks = picks[:stay]
	}
	b.ask(Question{
		ID: id, Side: side, Moment: b.axis.momentAt(list[0].c.play.at), Now: true, Players: players,
		Count: stay, Answered: answered && len(picks) > 0, Say: ask,
		Reason: b.reason(rulebook.TopicMatchedPick, "why.matched_pick", nil),
	})
	return picks
}

// setDefaults writes what the fold goes on with into the question.
func (b *box) setDefaults(side entry.Side, list units, k kept, kind string) {
	for i := range b.asked {
		q := &b.asked[i]
		if q.Side != side || len(list) == 0 || q.ID != "serve/"+kind+"/"+list[0].c.play.id {
			continue
		}
		for _, u := range list {
			if k.units[u.p] && !slices.Contains(q.Default, u.c.p.Player) {
				q.Default = append(q.Default, u.c.p.Player)
			}
		}
	}
}

func playersOf(list units) []entry.Jersey {
	var out []entry.Jersey
	rows := map[*row]bool{}
	for _, u := range list {
		if !rows[u.c.row] {
			rows[u.c.row] = true
			out = append(out, u.c.p.Player)
		}
	}
	return out
}

// cancel takes the units that are not kept off the clock.
func (b *box) cancel(list [2]units, keep [2]kept, major bool) {
	if len(list[0]) == 0 || len(list[1]) == 0 {
		return
	}
	for i := range list {
		for _, u := range list[i] {
			if keep[i].units[u.p] {
				continue
			}
			u.p.matched = true
			topic := rulebook.TopicMatched
			if major {
				topic = rulebook.TopicMatchedMajor
			}
			u.c.note(u.p, b.reason(topic, "follows.matched", u.c.partArgs(u.p)))
		}
	}
}

// late plays the difference where, late in the game, a minor or double minor of
// one player is all that stands against a major of one opponent: the minor is
// off the clock and the major is shortened, and served like a major (IIHF 19.3,
// NHL 19.4).
func (b *box) late(majors, minors [2]units, at entry.At) {
	if !b.axis.late(b.division, at, b.code.Policies.LateWindow) {
		return
	}
	open := func(list units) units {
		return slices.DeleteFunc(slices.Clone(list), func(u unit) bool { return u.p.matched })
	}
	for i := range 2 {
		ma, mi := open(majors[i]), open(minors[1-i])
		if len(ma) != 1 || len(mi) == 0 || len(playersOf(mi)) != 1 ||
			len(open(minors[i])) != 0 || len(open(majors[1-i])) != 0 {
			continue
		}
		for _, u := range mi {
			ma[0].p.shortened += u.p.term.Length
		}
		major := ma[0].p.term
		if ma[0].p.shortened >= major.Length {
			ma[0].p.shortened = 0
			continue
		}
		for _, u := range mi {
			u.p.matched = true
			u.c.note(u.p, b.reason(rulebook.TopicLate, "follows.late_minor", u.c.partArgs(u.p)))
		}
		major.Length -= ma[0].p.shortened
		major.left = major.Length
		args := ma[0].c.partArgs(ma[0].p)
		args = args.with("length", major.Length.Left())
		ma[0].c.note(ma[0].p, b.reason(rulebook.TopicLate, "follows.late_major", args))
	}
}

// note writes a consequence of a part to the call and to the term.
func (c *called) note(p *calledPart, r Reason) {
	p.term.Reasons = append(p.term.Reasons, r)
	if !slices.ContainsFunc(c.notes, func(o Reason) bool { return sameReason(o, r) }) {
		c.notes = append(c.notes, r)
	}
}

func sameReason(a, b Reason) bool {
	return a.Rule == b.Rule && a.Say.Key == b.Say.Key && a.Say.Args.Get("part") == b.Say.Args.Get("part")
}

// args are what every sentence about a call may need, with room for what a part
// adds.
func (c *called) args() Args {
	return append(make(Args, 0, 8),
		Arg{"player", playerArg(c.p.Player, c.p.Bench)},
		Arg{"gate", gateArg(c.p.Side)},
		Arg{"team", c.team},
	)
}

func (c *called) partArgs(p *calledPart) Args {
	return c.args().with("part", "@part."+string(p.term.Part))
}
