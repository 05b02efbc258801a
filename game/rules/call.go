package rules

import (
	"cmp"
	"slices"
	"strconv"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
)

// called is a call at a stoppage while it is worked out. What the record says of it
// is written there at once; its parts are those that were called until all is played.
type called struct {
	*Call
	play  *play
	at    entry.At // of the play, on the axis
	row   *row
	parts []calledPart

	servedBy  entry.Jersey
	lengths   []entry.Millis
	signalled bool
	instead   int32 // the part that is a game misconduct in place of a misconduct, from 1; 0: none
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
	for _, side := range entry.Sides {
		b.unseat(side, group)
	}
	for _, r := range b.rows {
		b.resumeOff(r, t)
	}
	for _, c := range group {
		b.explain(c)
	}
}

// newCall makes the terms of a call and finds the player's row.
func (b *box) newCall(c *called) {
	c.row = b.rowFor(c)
	c.parts = b.room.parts.take(len(c.Parts))
	c.Reasons = b.room.reasons.take(len(c.Parts))[:0]
	moment := b.axis.momentAt(c.at)
	for i, part := range c.Parts {
		length := b.lengthAt(part, c.at)
		if len(c.lengths) > 0 {
			length = c.lengths[i]
		}
		form := b.division.Lengths.Form
		untimed := part.IsMinor() && (form == rulebook.MinorShot || form == rulebook.MinorShift)
		ended := ByTime
		if untimed {
			ended = NotServed
		}
		t := b.newTerm(part)
		t.ID, t.Entry, t.Row = b.room.words.join(c.play.id, "/", strconv.Itoa(i)), c.play.id, c.row.id
		t.Side, t.Player, t.Bench = c.Side, c.Player, c.Bench
		t.Part, t.Call, t.Length, t.left = part, c.Call.Call, length, length
		t.Start, t.End, t.Ended, t.Door = moment, moment, ended, NoDoor
		t.Reasons = []Reason{}
		c.parts[i] = calledPart{term: t, untimed: untimed}
		if part == entry.Misconduct {
			c.row.misconduct++
			b.lastMisconduct(c, i)
		}
		if part.Ejects() {
			c.row.ejected = true
		}
	}
}

// newTerm makes a term of a part. Of a game misconduct and a penalty shot nothing is
// served, so the record has no term of them.
func (b *box) newTerm(part entry.Part) *term {
	t := &b.room.terms.take(1)[0]
	if part == entry.GameMisconduct || part == entry.PenaltyShot {
		t.Term = new(Term)
	} else {
		b.record = b.record[:len(b.record)+1]
		b.keepTerm(t)
	}
	return t
}

// keepTerm makes a term the newest of the record, where its place is.
func (b *box) keepTerm(t *term) {
	t.order = len(b.terms)
	b.terms, t.Term = append(b.terms, t), &b.record[t.order]
}

// lastMisconduct sends a player off for a misconduct too many. By some books it
// is a game misconduct then, by others one comes on top, which is a call of its
// own (USA Hockey 404(a); IIHF 22.1).
func (b *box) lastMisconduct(c *called, part int) {
	most := b.code.Policies.MisconductsToEject
	if most == 0 || c.row.misconduct < most || c.row.ejected || slices.ContainsFunc(c.Parts, entry.Part.Ejects) {
		return
	}
	c.row.ejected = true
	key := "follows.misconduct_count"
	if b.code.Policies.SecondMisconduct == rulebook.Instead {
		key, c.instead = "follows.misconduct_instead", int32(part+1)
	}
	c.Reasons = append(c.Reasons, b.reason(rulebook.TopicMisconducts, key, b.argsOf(c).With("count", strconv.Itoa(c.row.misconduct))))
}

// parts are the parts of a call as the record has them: a misconduct too many is
// a game misconduct, and a penalty shot that was not taken its minor.
func (c *called) assessed() []entry.Part {
	out := list(c.Parts)
	put := func(i int, part entry.Part) {
		if out[i] != part {
			out = slices.Clone(out)
			out[i] = part
		}
	}
	for i := range c.parts {
		p := &c.parts[i]
		put(i, p.term.Part)
	}
	if c.instead > 0 {
		put(int(c.instead)-1, entry.GameMisconduct)
	}
	return out
}

// lengthAt returns the division's length of a part that is called at a moment.
func (b *box) lengthAt(part entry.Part, at entry.At) entry.Millis {
	return b.division.LengthOf(part, at.Period > len(b.division.Periods))
}

// rowFor finds a player's row. The bench, and a player whose number is owed,
// have a row for each call.
func (b *box) rowFor(c *called) *row {
	for _, r := range b.rows {
		if r.player == c.Player && r.side == c.Side && !r.call && !c.Bench {
			return r
		}
	}
	r := &b.room.rows.take(1)[0]
	r.side, r.player, r.call = c.Side, c.Player, c.Bench || c.Player == ""
	if r.call {
		r.id = b.room.words.join(string(c.Side), "/", c.play.id)
	} else {
		r.id = b.room.words.join(string(c.Side), "/", string(c.Player))
	}
	r.goalkeeper = b.isGoalkeeper(c.Side, c.Player)
	b.rows = append(b.rows, r)
	return r
}

func (b *box) isGoalkeeper(side entry.Side, number entry.Jersey) bool {
	players := b.players[side.Index()]
	i := nextWith(players, number, 0)
	return i < len(players) && players[i].Goalkeeper
}

// nextWith finds the next player of a roster with a number, from a place on; the length
// of the roster: there is none.
func nextWith(players []entry.Player, number entry.Jersey, from int) int {
	if number == "" {
		return len(players)
	}
	last := number[len(number)-1] // most numbers have two digits
	for i := from; i < len(players); i++ {
		if it := players[i].Number; len(it) == len(number) && it[len(it)-1] == last && it == number {
			return i
		}
	}
	return len(players)
}

// wipe takes out the signalled minor that a goal answers. A team that was short
// by a minor has paid with that one: then the signalled call stands.
func (b *box) wipe(group []*called, goals []*goalAt) {
	for _, g := range goals {
		if g.On == entry.OnPenaltyShot || g.On == entry.OnAwarded && !b.code.Policies.AwardedGoalEnds {
			continue
		}
		against := g.Side.Other()
		b.signalledShots(group, g)
		var minors []*called
		for _, c := range group {
			if c.Side == against && c.signalled && c.minor() != nil {
				minors = append(minors, c)
			}
		}
		if len(minors) == 0 {
			continue
		}
		if key := b.stands(g); key != "" {
			for _, c := range minors {
				reason := b.reason(rulebook.TopicNotWiped, key, b.argsOf(c))
				c.Reasons, g.Reasons = append(c.Reasons, reason), append(g.Reasons, reason)
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
		reason := b.reason(rulebook.TopicWiped, key, b.argsOf(c))
		part.term.Reasons = append(part.term.Reasons, reason)
		c.Reasons = append(c.Reasons, reason)
		g.Reasons = append(g.Reasons, reason)
	}
}

// stands says why a signalled minor is assessed although a goal was scored, or
// nothing.
func (b *box) stands(g *goalAt) string {
	switch {
	case g.ended && g.Class == EvenStrength:
		return "follows.not_wiped_equal"
	case g.ended:
		return "follows.not_wiped"
	case g.Class == ShortHanded && b.code.Policies.SignalledCounts:
		return "follows.not_wiped_short"
	default:
		return ""
	}
}

// signalledShots settles penalty shots that were signalled when a goal was
// scored. None is taken; where the side was short by a minor, which the goal
// ended, the foul is served as its minor (IIHF 15.4).
func (b *box) signalledShots(group []*called, g *goalAt) {
	if !b.code.Policies.SignalledShotMinor || g.On != entry.OnPlay {
		return
	}
	for _, c := range group {
		if c.Side == g.Side || !c.signalled {
			continue
		}
		for i := range c.parts {
			p := &c.parts[i]
			t := p.term
			if t.Part != entry.PenaltyShot || p.wiped {
				continue
			}
			b.record = append(b.record, *t.Term)
			b.keepTerm(t)
			topic, key := rulebook.TopicWiped, "follows.shot_wiped"
			if g.ended {
				topic, key = rulebook.TopicNotWiped, "follows.shot_minor"
				t.Part = entry.Minor
				t.Length = b.lengthAt(entry.Minor, c.at)
				t.left = t.Length
			} else {
				p.wiped, t.Ended = true, Wiped
			}
			reason := b.reason(topic, key, b.argsOf(c))
			t.Reasons = append(t.Reasons, reason)
			c.Reasons, g.Reasons = append(c.Reasons, reason), append(g.Reasons, reason)
		}
	}
}

// wipeWhich returns which of several signalled minors a goal wipes out: the
// captain says (IIHF 15.2, NHL 15.2); until then the first.
func (b *box) wipeWhich(minors []*called, g *goalAt) *called {
	if len(minors) == 1 || b.code.Policies.SameEnd == rulebook.Reported {
		return minors[0]
	}
	id := "wipe/" + g.play.id
	players := make([]entry.Jersey, len(minors))
	for i, c := range minors {
		players[i] = c.Player
	}
	picks, answered := b.answers[id]
	b.ask(Question{
		ID: id, Side: minors[0].Side, Moment: b.axis.momentAt(g.at), Now: true, Players: players,
		Count: 1, Default: players[:1], Answered: answered, Say: Say{Key: "ask.wipe"},
		Reason: b.reason(rulebook.TopicWiped, "why.wipe_choice", nil),
	})
	for _, c := range minors {
		if slices.ContainsFunc(picks, c.Player.Same) {
			return c
		}
	}
	return minors[0]
}

// minor returns the first part of a call that is a minor and still stands.
func (c *called) minor() *calledPart {
	for i := range c.parts {
		p := &c.parts[i]
		if p.term.Part.IsMinor() && !p.wiped {
			return p
		}
	}
	return nil
}

// seatAll gives every standing part its place: in a slot, or off the clock. It
// returns the slots that are new.
func (b *box) seatAll(group []*called, t entry.Millis) []*slot {
	parts := 0
	for _, c := range group {
		parts += len(c.parts)
	}
	fresh := b.room.lists.take(parts)[:0]
	for _, c := range group {
		for i := range c.parts {
			p := &c.parts[i]
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
	bx := b.side(c.Side)
	for kind, list := range [][]*slot{fresh, bx.running, bx.waiting} {
		for _, s := range list {
			if s.row != c.row || c.row.goalkeeper && s.server != c.servedBy {
				continue
			}
			if s.server == "" {
				s.server = c.servedBy
			}
			first := s.now + 1 // what runs is not overtaken
			if kind == 0 {
				first = 0
			}
			s.insert(first, p.term)
			return nil
		}
	}
	b.pauseOff(c.row, t)
	c.row.slots++
	gone := c.row.ejected && !b.code.Policies.EjectedSits && p.term.Part.IsMajor() && !c.row.goalkeeper
	s := &b.room.slots.take(1)[0]
	s.side, s.row, s.first[0], s.server = c.Side, c.row, p.term, c.servedBy
	s.nobody, s.special = gone && c.servedBy == "", c.Bench || c.row.goalkeeper
	s.terms = s.first[:]
	return s
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
	p.term.Sits = c.Player
	if c.Bench || c.row.goalkeeper {
		p.term.Sits = c.servedBy
	}
	b.addOff(c.row, p.term, t)
}

// unseat takes a server out of a seat for which another must be named: one who has
// a penalty of the own now, or sits for somebody else already (USA Hockey 402(b)
// and casebook 407; IIHF 27.1). One sweater sits for one penalty at a time.
func (b *box) unseat(side entry.Side, group []*called) {
	bx := b.side(side)
	serves := func(s *slot) bool { return s.server != "" && s.server != s.row.player }
	if !slices.ContainsFunc(bx.running, serves) && !slices.ContainsFunc(bx.waiting, serves) {
		return
	}
	open := slices.Concat(bx.running, bx.waiting)
	entry.Arrange(open, func(x, y *slot) int { return cmp.Compare(x.terms[0].order, y.terms[0].order) })
	var sitting []entry.Jersey
	for _, s := range open {
		if !serves(s) {
			continue
		}
		who := s.server
		if !slices.Contains(sitting, who) && !b.penalised(side, who) {
			sitting = append(sitting, who)
			continue
		}
		s.server, s.vacant = "", true
		if b.unseated == nil {
			b.unseated = map[string]entry.Jersey{}
		}
		t := s.term()
		b.unseated[t.Entry] = who
		topic := rulebook.TopicBenchMinor
		if s.row.goalkeeper {
			topic = rulebook.TopicGoalkeeper
		}
		for _, c := range group {
			if c.Side == side && c.Player == who && t.Entry != c.play.id {
				c.Reasons = append(c.Reasons, b.reason(topic, "follows.server_offends",
					b.argsOf(c).With("for", servedFor(s.row.player, t.Bench))))
				break
			}
		}
	}
}

// penalised reports whether a player has something of the own to serve, or was
// sent off.
func (b *box) penalised(side entry.Side, j entry.Jersey) bool {
	for _, r := range b.rows {
		if r.side == side && r.player == j {
			return r.slots > 0 || len(r.off) > 0 || r.ejected
		}
	}
	return false
}

// startSlots starts new slots or lets them wait. Of different players at one
// stoppage those with a minor go before those with a major (IIHF 26.3, NHL
// 26.3, USA Hockey 408(c)).
func (b *box) startSlots(fresh []*slot, t entry.Millis) {
	entry.Arrange(fresh, func(x, y *slot) int {
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
