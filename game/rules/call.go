package rules

import (
	"cmp"
	"slices"
	"strconv"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
)

// called is a call at a stoppage while it is worked out.
type called struct {
	play  play
	p     entry.Penalty
	team  string // the side's name
	row   *row
	parts []*calledPart
	notes []Reason // what follows, in order
}

// calledPart is one part of a call.
type calledPart struct {
	term      *term
	wiped     bool // signalled, and wiped out by a goal
	matched   bool // coincidental: off the clock
	four      bool // coincidental, but played a skater short on both sides
	untimed   bool // the division plays it otherwise: a penalty shot, the rest of the shift
	shortened entry.Millis
}

// costs reports whether the part is to be served a skater short.
func (p *calledPart) costs() bool {
	if p.wiped || p.matched || p.untimed {
		return false
	}
	return p.term.Part.IsMinor() || p.term.Part.IsMajor()
}

// calls works out the calls of one stoppage. The order is that of the books:
// what a goal wiped out, then what cancels, then who sits and who waits.
func (b *box) calls(group []*called, goals []*goalAt, at entry.At) {
	t := b.axis.abs(at)
	for _, c := range group {
		b.newCall(c)
	}
	for _, r := range b.rows {
		if r.ejected && len(r.off) > 0 {
			b.sendOff(r, t)
		}
	}
	b.wipe(group, goals)
	b.match(group, at)
	fresh := b.seatAll(group, t)
	b.startSlots(fresh, t)
	for _, r := range b.rows {
		b.resumeOff(r, t)
	}
	for _, c := range group {
		b.explain(c)
	}
}

// newCall makes the terms of a call and finds the player's row.
func (b *box) newCall(c *called) {
	c.row, c.team = b.rowFor(c), b.names[c.p.Side.Index()]
	n := len(c.p.Parts)
	terms, parts := make([]term, n), make([]calledPart, n)
	c.parts = make([]*calledPart, n)
	moment := b.axis.momentAt(c.play.at)
	for i, part := range c.p.Parts {
		length := b.length(part)
		if len(c.p.Lengths) > 0 {
			length = c.p.Lengths[i]
		}
		t := &terms[i]
		*t = term{
			Term: Term{
				ID: c.play.id + "/" + strconv.Itoa(i), Entry: c.play.id, Row: c.row.id, Side: c.p.Side,
				Player: c.p.Player, Bench: c.p.Bench, Part: part, Call: c.p.Call, Length: length,
				Start: moment, End: moment, Ended: ByTime, Door: NoDoor, Reasons: []Reason{},
			},
			order: len(b.terms), left: length,
		}
		form := b.division.Lengths.Form
		untimed := part.IsMinor() && (form == rulebook.MinorShot || form == rulebook.MinorShift)
		if untimed {
			t.Ended = NotServed
		}
		parts[i] = calledPart{term: t, untimed: untimed}
		c.parts[i] = &parts[i]
		if part == entry.Misconduct {
			c.row.misconduct++
		}
		if part.Ejects() {
			c.row.ejected = true
		}
		if part != entry.GameMisconduct && part != entry.PenaltyShot {
			b.terms = append(b.terms, t)
		}
	}
	if most := b.code.Policies.MisconductsToEject; most > 0 && c.row.misconduct >= most && !c.row.ejected {
		c.row.ejected = true
		c.notes = append(c.notes, b.reason(rulebook.TopicEjected, "follows.misconduct_count", c.args()))
	}
}

// length returns the division's length of a part.
func (b *box) length(part entry.Part) entry.Millis {
	return b.division.LengthOf(part, b.overtime)
}

// rowFor finds a player's row. The bench, and a player whose number is owed,
// have a row for each call.
func (b *box) rowFor(c *called) *row {
	id := string(c.p.Side) + "/" + string(c.p.Player)
	if c.p.Bench || c.p.Player == "" {
		id = string(c.p.Side) + "/" + c.play.id
	}
	for _, r := range b.rows {
		if r.id == id {
			return r
		}
	}
	r := &row{id: id, side: c.p.Side, player: c.p.Player}
	r.goalkeeper = b.isGoalkeeper(c.p.Side, c.p.Player)
	b.rows = append(b.rows, r)
	return r
}

func (b *box) isGoalkeeper(side entry.Side, number entry.Jersey) bool {
	for _, p := range b.players[side.Index()] {
		if p.Number == number && number != "" {
			return p.Goalkeeper
		}
	}
	return false
}

// wipe takes out the signalled minor that a goal answers. A team that was short
// by a minor has paid with that one: then the signalled call stands.
func (b *box) wipe(group []*called, goals []*goalAt) {
	for _, g := range goals {
		if g.g.On == entry.OnPenaltyShot || g.g.On == entry.OnAwarded && !b.code.Policies.AwardedGoalEnds {
			continue
		}
		against := g.g.Side.Other()
		var minors []*called
		for _, c := range group {
			if c.p.Side == against && c.p.Signalled && c.minor() != nil {
				minors = append(minors, c)
			}
		}
		if len(minors) == 0 {
			continue
		}
		if g.ended {
			for _, c := range minors {
				reason := b.reason(rulebook.TopicNotWiped, "follows.not_wiped", c.args())
				c.notes, g.notes = append(c.notes, reason), append(g.notes, reason)
			}
			continue
		}
		c := b.wipeWhich(minors, g)
		part := c.minor()
		part.wiped = true
		part.term.Ended = Wiped
		key := "follows.wiped"
		if c.minor() != nil {
			key = "follows.wiped_half"
		}
		reason := b.reason(rulebook.TopicWiped, key, c.args())
		part.term.Reasons = append(part.term.Reasons, reason)
		c.notes = append(c.notes, reason)
		g.notes = append(g.notes, reason)
	}
}

// wipeWhich returns which of several signalled minors a goal wipes out: the
// captain says (IIHF 15.2, NHL 15.2); until then the first.
func (b *box) wipeWhich(minors []*called, g *goalAt) *called {
	if len(minors) == 1 {
		return minors[0]
	}
	id := "wipe/" + g.play.id
	players := make([]entry.Jersey, len(minors))
	for i, c := range minors {
		players[i] = c.p.Player
	}
	picks, answered := b.answers[id]
	b.ask(Question{
		ID: id, Side: minors[0].p.Side, Moment: b.axis.momentAt(g.play.at), Now: true, Players: players,
		Count: 1, Default: players[:1], Answered: answered, Say: Say{Key: "ask.wipe"},
		Reason: b.reason(rulebook.TopicWiped, "why.wipe_choice", nil),
	})
	for _, c := range minors {
		if slices.Contains(picks, c.p.Player) {
			return c
		}
	}
	return minors[0]
}

// minor returns the first part of a call that is a minor and still stands.
func (c *called) minor() *calledPart {
	for _, p := range c.parts {
		if p.term.Part.IsMinor() && !p.wiped {
			return p
		}
	}
	return nil
}

// seatAll gives every standing part its place: in a slot, or off the clock. It
// returns the slots that are new.
func (b *box) seatAll(group []*called, t entry.Millis) []*slot {
	var fresh []*slot
	for _, c := range group {
		for _, p := range c.parts {
			switch {
			case p.wiped:
			case p.costs():
				if s := b.seat(c, p, fresh, t); s != nil {
					fresh = append(fresh, s)
				}
			case p.matched || p.term.Part == entry.Misconduct:
				b.seatOff(c, p, t)
			}
		}
	}
	return fresh
}

// seat puts a part into the player's open slot, or opens one, which it returns.
func (b *box) seat(c *called, p *calledPart, fresh []*slot, t entry.Millis) *slot {
	p.term.Costs, p.term.OnClock = true, true
	p.term.GoalEnds = p.term.Part.IsMinor() && !p.four && p.shortened == 0
	p.term.Matched = p.four
	bx := b.side(c.p.Side)
	for _, s := range slices.Concat(fresh, bx.running, bx.waiting) {
		if s.row != c.row || c.row.goalkeeper && s.server != c.p.ServedBy {
			continue
		}
		if s.server == "" {
			s.server = c.p.ServedBy
		}
		first := s.now + 1 // what runs is not overtaken
		if slices.Contains(fresh, s) {
			first = 0
		}
		s.insert(first, p.term)
		return nil
	}
	b.pauseOff(c.row, t)
	c.row.slots++
	gone := c.row.ejected && !b.code.Policies.EjectedSits && p.term.Part.IsMajor() && !c.row.goalkeeper
	return &slot{
		side: c.p.Side, row: c.row, terms: []*term{p.term}, server: c.p.ServedBy,
		nobody:  gone && c.p.ServedBy == "",
		special: c.p.Bench || c.row.goalkeeper,
	}
}

// insert places a term in a slot from the index first on: a major is served
// before a minor of the same player (IIHF 20.1, NHL 20.1, USA Hockey 402(e)).
func (s *slot) insert(first int, t *term) {
	place := len(s.terms)
	if t.Part.IsMajor() {
		for i := first; i < len(s.terms); i++ {
			if !s.terms[i].Part.IsMajor() {
				place = i
				break
			}
		}
	}
	s.terms = slices.Insert(s.terms, place, t)
}

// seatOff puts a matched part or a misconduct off the clock.
func (b *box) seatOff(c *called, p *calledPart, t entry.Millis) {
	p.term.Matched = p.matched
	if c.row.ejected {
		p.term.Ended = NotServed
		return
	}
	p.term.Sits = c.p.Player
	if c.p.Bench || c.row.goalkeeper {
		p.term.Sits = c.p.ServedBy
	}
	b.addOff(c.row, p.term, t)
}

// startSlots starts new slots or lets them wait. Of different players at one
// stoppage those with a minor go before those with a major (IIHF 26.3, NHL
// 26.3, USA Hockey 408(c)).
func (b *box) startSlots(fresh []*slot, t entry.Millis) {
	slices.SortStableFunc(fresh, func(x, y *slot) int {
		return cmp.Compare(majorRank(x), majorRank(y))
	})
	for _, s := range fresh {
		bx := b.side(s.side)
		if len(bx.running) < b.most() {
			bx.running = append(bx.running, s)
			b.run(s.term(), t)
			continue
		}
		s.term().Waits = true
		bx.waiting = append(bx.waiting, s)
	}
}

func majorRank(s *slot) int {
	if s.term().Part.IsMajor() {
		return 1
	}
	return 0
}
