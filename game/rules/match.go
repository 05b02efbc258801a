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
	if !slices.ContainsFunc(group, func(c *called) bool { return c.Side != group[0].Side }) {
		return // only one side was called: nothing cancels
	}
	var majors, minors [2]units
	for _, c := range group {
		i := c.Side.Index()
		for n := range c.parts {
			p := &c.parts[n]
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
		return // of one side nothing is served that could cancel
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
		u.c.note(u.p, b.reason(rulebook.TopicMatchedFour, "follows.matched_four", b.argsOf(u.c)))
	}
	return true
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
			u.c.note(u.p, b.reason(topic, "follows.matched", b.partArgs(u.c, u.p)))
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
			u.c.note(u.p, b.reason(rulebook.TopicLate, "follows.late_minor", b.partArgs(u.c, u.p)))
		}
		major.Length -= ma[0].p.shortened
		major.left = major.Length
		args := b.partArgs(ma[0].c, ma[0].p)
		args = args.With("length", major.Length.Left())
		ma[0].c.note(ma[0].p, b.reason(rulebook.TopicLate, "follows.late_major", args))
	}
}

// note writes a consequence of a part to the call and to the term, to the call once.
func (c *called) note(p *calledPart, r Reason) {
	if slices.ContainsFunc(c.Reasons, func(o Reason) bool { return sameReason(o, r) }) {
		p.term.Reasons = append(p.term.Reasons, r)
		return
	}
	c.because(p, r)
}

// because writes a consequence of a part to the call and to the term. Mostly it is all
// that a term has, and then it stands in memory once.
func (c *called) because(p *calledPart, r Reason) {
	c.Reasons = append(c.Reasons, r)
	if t := p.term; len(t.Reasons) == 0 {
		t.Reasons = newest(c.Reasons, 1)
	} else {
		t.Reasons = append(t.Reasons, r)
	}
}

func sameReason(a, b Reason) bool {
	return a.Rule == b.Rule && a.Say.Key == b.Say.Key && a.Say.Args.Get("part") == b.Say.Args.Get("part")
}

// argsOf are what every sentence about a call may need, with room for what a part
// adds.
func (b *box) argsOf(c *called) Args {
	return append(b.room.args.take(termArgs)[:0],
		Arg{Name: "player", Text: playerArg(c.Player, c.Bench)},
		Arg{Name: "gate", Text: gateArg(c.Side)},
		Arg{Name: "team", Text: b.names[c.Side.Index()]},
	)
}

func (b *box) partArgs(c *called, p *calledPart) Args {
	return b.argsOf(c).With("part", partArg(p.term.Part))
}
