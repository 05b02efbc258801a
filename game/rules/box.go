package rules

import (
	"cmp"
	"slices"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
)

// The box as a small machine. Three things are kept apart:
//
//   - a row is everything that one player has to serve;
//   - a slot is a skater whom a side must do without: the terms in it follow
//     one another and somebody sits for them. At most two slots of a side run
//     at once, a third waits;
//   - terms off the clock (matched penalties and misconducts) cost nobody a
//     skater. They run while no slot of their row is open, and whoever serves
//     them leaves at a whistle.
//
// Time moves only through advance (play goes on) and stoppage (a whistle).

// term is a Term while it is worked out.
type term struct {
	*Term
	order int          // of recording, over the whole game
	left  entry.Millis // not yet served when it last stopped running
	ends  entry.Millis // on the axis of play, while it runs
}

type row struct {
	id         string
	side       entry.Side
	player     entry.Jersey
	off        []*term
	misconduct int  // misconducts so far in the game
	slots      int  // open: running or waiting
	call       bool // of one call alone: of the bench, or of a player whose number is owed
	goalkeeper bool
	ejected    bool
	offRuns    bool
}

type slot struct {
	side    entry.Side
	row     *row
	terms   []*term
	first   [1]*term // room for terms: mostly there is one
	server  entry.Jersey
	last    entry.Jersey
	now     int  // index of the term that runs
	nobody  bool // nobody sits: the skater joins from the bench
	special bool // the player cannot sit for it alone: bench, goalkeeper, ejected
	over    bool // held, and who sits is settled: last
	vacant  bool // whoever was named sits for something else: another must be named
}

func (s *slot) term() *term { return s.terms[s.now] }

// sits returns who sits in the slot and comes out when it closes; empty where
// that is somebody who was not named.
func (s *slot) sits() entry.Jersey {
	switch {
	case s.over:
		return s.last
	case s.nobody:
		return ""
	case s.server != "":
		return s.server
	case s.vacant || s.special || s.row.ejected || len(s.row.off) > 0:
		return "" // the player stays for more, or has gone: somebody else sits here
	default:
		return s.row.player
	}
}

type sideBox struct {
	running []*slot
	waiting []*slot
	stillIn []*slot // over, but three sit: out at a whistle or when there is room
	free    []*row  // off the clock and over: out at the next whistle
}

func (b *sideBox) open() int { return len(b.running) + len(b.waiting) }

// box is both penalty boxes and the skaters on the ice.
type box struct {
	axis     axis
	code     *rulebook.Code
	division *rulebook.Division
	answers  map[string][]entry.Jersey
	names    [2]string
	players  [2][]entry.Player

	sides    [2]sideBox
	skaters  [2]int
	base     int // skaters of a side at full strength in this period
	overtime bool
	rows     []*row
	terms    []*term
	record   []Term // those of the terms; there is room for all, so they stay where they are
	strength []Strength
	releases []Release
	asked    []Question
	unseated map[string]entry.Jersey // by call: who was named to serve and cannot
	room     room
}

// makeRoom makes room for so many goals, calls, parts of those and lines. What a game
// needs beyond it is made when it is needed.
func (b *box) makeRoom(goals, calls, parts, lines int) {
	b.record, b.terms, b.rows = make([]Term, 0, parts), make([]*term, 0, parts), make([]*row, 0, calls)
	b.strength, b.releases = make([]Strength, 0, parts+parts/2), make([]Release, 0, parts)
	b.room = room{
		terms: blockOf[term](parts), parts: blockOf[calledPart](parts), rows: blockOf[row](calls), slots: blockOf[slot](calls),
		moments: blockOf[Moment](parts), reasons: blockOf[Reason](parts + goals), args: blockOf[Arg](termArgs*parts + 5*goals + 2*lines),
		lists: blockOf[*slot](2*parts + 2*goals),
	}
}

// termArgs is how many arguments a sentence about a term has, but for some.
const termArgs = 7

// mostOnIce is how many skaters a side can get: five, also where fewer are full
// strength and the other side is short (IIHF 84.3).
func (b *box) mostOnIce() int { return max(5, b.division.Skaters) }

func (b *box) side(s entry.Side) *sideBox { return &b.sides[s.Index()] }

// most is how many slots of a side run at once: never fewer than three skaters
// stay on the ice. Some leagues let a second penalty in overtime wait for the
// first.
func (b *box) most() int {
	if b.overtime && b.division.Overtime.OneAtATime {
		return 1
	}
	return max(2, b.division.Skaters-3)
}

// advance lets play go on until the moment to, that moment included: a penalty
// that runs out at the very second of a goal is over (IIHF 2025/26 Table 14,
// examples C8, D4, E4, E5, F2, F5).
func (b *box) advance(to entry.Millis) {
	for {
		next, any := b.nextEnd()
		if !any || next > to {
			return
		}
		for _, side := range entry.Sides {
			b.expireSlots(side, next)
		}
		for _, r := range b.rows {
			if r.offRuns && r.off[0].ends == next {
				b.endOff(r, next)
			}
		}
		b.note(next)
	}
}

// nextEnd returns when the next running term is over.
func (b *box) nextEnd() (next entry.Millis, any bool) {
	look := func(t entry.Millis) {
		if !any || t < next {
			next, any = t, true
		}
	}
	for i := range b.sides {
		for _, s := range b.sides[i].running {
			look(s.term().ends)
		}
	}
	for _, r := range b.rows {
		if r.offRuns {
			look(r.off[0].ends)
		}
	}
	return next, any
}

// expireSlots ends the terms of a side that are over at t. Where two players
// are due at once the captain says who goes first.
func (b *box) expireSlots(side entry.Side, t entry.Millis) {
	running := b.side(side).running
	due := b.room.lists.take(len(running))[:0]
	for _, s := range running {
		if s.term().ends == t {
			due = append(due, s)
		}
	}
	last := 0
	for _, s := range due {
		if s.now+1 == len(s.terms) {
			last++
		}
	}
	if last > 1 {
		due = b.firstOut(side, due, t, false)
	}
	for _, s := range due {
		b.endTerm(s, t, ByTime)
	}
}

// endTerm ends the term that runs in a slot, and closes the slot where it was
// the last.
func (b *box) endTerm(s *slot, t entry.Millis, how Ended) {
	over := s.term()
	over.End, over.Ended = b.axis.moment(t), how
	if how == ByGoal {
		over.Cut = over.ends - t
	}
	if s.now+1 < len(s.terms) {
		s.now++
		b.run(s.term(), t)
		return
	}
	b.close(s, t, how == ByGoal)
}

// run starts a term.
func (b *box) run(t *term, at entry.Millis) {
	if t.left == t.Length {
		t.Start = b.axis.moment(at)
	} else {
		t.Resumed = b.room.moments.keep(b.axis.moment(at))
	}
	t.ends = at + t.left
}

// close takes a slot off the board. In play the side gets a skater back only if
// no other penalty takes the place; then the first of those who wait for room
// comes out (IIHF 26.2, NHL 26.2, USA Hockey 408(b)). At a whistle, and a goal
// is one, whoever is done leaves.
func (b *box) close(s *slot, t entry.Millis, whistle bool) {
	bx := b.side(s.side)
	before := len(bx.running)
	bx.running = slices.DeleteFunc(bx.running, func(o *slot) bool { return o == s })
	s.row.slots--
	if len(bx.waiting) > 0 && len(bx.running) < b.most() {
		next := bx.waiting[0]
		bx.waiting = bx.waiting[1:]
		bx.running = append(bx.running, next)
		b.run(next.term(), t)
	}
	switch gained := before > len(bx.running); {
	case whistle:
		b.leave(s, t, AtEnd)
	case !gained:
		b.keepIn(s, t)
	default:
		i := s.side.Index()
		b.skaters[i] = min(b.skaters[i]+1, b.mostOnIce())
		if len(bx.stillIn) == 0 {
			b.leave(s, t, AtEnd)
			break
		}
		first := bx.stillIn[0]
		bx.stillIn = bx.stillIn[1:]
		b.leave(first, t, AtEnd)
		b.keepIn(s, t)
	}
	b.resumeOff(s.row, t)
}

// leave lets whoever sits in a slot out.
func (b *box) leave(s *slot, t entry.Millis, door Door) {
	last := s.term()
	last.Sits = s.sits()
	out := b.axis.moment(t)
	last.Out, last.Door = b.room.moments.keep(out), door
	if s.nobody {
		last.Door = NoDoor
	}
	b.release(out, last, last.Door, b.why(s, last))
}

// release notes that somebody leaves, or may. It is written in its place: one put
// together first would be copied there.
func (b *box) release(at Moment, last *term, door Door, why string) {
	b.releases = append(b.releases, Release{})
	r := &b.releases[len(b.releases)-1]
	r.Moment, r.Side, r.Term, r.Sits, r.Door, r.Why.Key = at, last.Side, last.ID, last.Sits, door, why
}

// keepIn keeps whoever sits in a slot until a whistle or until there is room.
func (b *box) keepIn(s *slot, t entry.Millis) {
	if s.nobody {
		b.leave(s, t, NoDoor)
		return
	}
	s.last, s.over = s.sits(), true // what the player serves later does not change who waits here
	last := s.term()
	last.Sits, last.Door = s.last, NextWhistle
	last.Reasons = append(last.Reasons, b.reason(rulebook.TopicHeld, "why.held", nil))
	bx := b.side(s.side)
	bx.stillIn = append(bx.stillIn, s)
	b.release(b.axis.moment(t), last, NextWhistle, "why.held")
}

func (b *box) why(s *slot, last *term) string {
	switch {
	case s.nobody:
		return "why.from_bench"
	case last.Ended == ByGoal:
		return whyGoal
	case last.Door == AtWhistle:
		return "why.whistle"
	default:
		return "why.time"
	}
}

// addOff gives a row a term off the clock. Matched penalties come before
// misconducts: a misconduct starts only when all else is over (IIHF 22.3).
func (b *box) addOff(r *row, t *term, at entry.Millis) {
	b.pauseOff(r, at)
	place := len(r.off)
	if t.Part != entry.Misconduct {
		place = slices.IndexFunc(r.off, func(o *term) bool { return o.Part == entry.Misconduct })
		if place < 0 {
			place = len(r.off)
		}
	}
	r.off = slices.Insert(r.off, place, t)
}

// pauseOff stops a row's clock off the clock, because the player has something
// else to serve first.
func (b *box) pauseOff(r *row, t entry.Millis) {
	if r.offRuns {
		r.off[0].left = r.off[0].ends - t
		r.offRuns = false
	}
}

// resumeOff starts the row's next term off the clock if nothing else of the
// player's is being served.
func (b *box) resumeOff(r *row, t entry.Millis) {
	if r.slots == 0 && len(r.off) > 0 && !r.offRuns {
		b.run(r.off[0], t)
		r.offRuns = true
	}
}

// sendOff ends what a player who is sent off had still to serve off the clock.
func (b *box) sendOff(r *row, t entry.Millis) {
	for i, o := range r.off {
		o.Ended = NotServed
		if i == 0 && o.left < o.Length || r.offRuns && i == 0 {
			o.End = b.axis.moment(t)
		}
	}
	r.off, r.offRuns = nil, false
}

// endOff ends a row's term off the clock.
func (b *box) endOff(r *row, t entry.Millis) {
	over := r.off[0]
	over.End, over.Ended = b.axis.moment(t), ByTime
	r.off, r.offRuns = r.off[1:], false
	if len(r.off) > 0 {
		over.Door = NoDoor
		b.resumeOff(r, t)
		return
	}
	over.Door = NextWhistle
	bx := b.side(r.side)
	bx.free = append(bx.free, r)
	b.release(b.axis.moment(t), over, NextWhistle, "why.off_clock")
}

// stoppage lets out who waited for a whistle.
func (b *box) stoppage(t entry.Millis) {
	for _, side := range entry.Sides {
		bx := b.side(side)
		for _, s := range bx.stillIn {
			b.leave(s, t, AtWhistle)
		}
		for _, r := range bx.free {
			if last := b.lastOff(r); last != nil {
				out := b.axis.moment(t)
				last.Out = b.room.moments.keep(out)
				b.release(out, last, AtWhistle, "why.whistle")
			}
		}
		if len(bx.stillIn)+len(bx.free) > 0 { // a pointer that is written costs more while memory is collected
			bx.stillIn, bx.free = nil, nil
		}
	}
}

// lastOff finds the term off the clock that ended last for a row and still
// waits for its whistle.
func (b *box) lastOff(r *row) *term {
	for i := len(b.terms) - 1; i >= 0; i-- {
		if t := b.terms[i]; t.Row == r.id && t.Door == NextWhistle && t.Out == nil {
			return t
		}
	}
	return nil
}

// level brings the skaters to what the penalties say, as after any whistle.
// Nobody goes below three: the other side adds instead (IIHF 84.3, NHL 84.3).
func (b *box) level(t entry.Millis) {
	var n [2]int
	for i := range b.sides {
		n[i] = b.base - len(b.sides[i].running)
	}
	lift := max(0, 3-min(n[0], n[1]))
	for i := range n {
		b.skaters[i] = min(n[i]+lift, b.mostOnIce())
	}
	b.note(t)
}

// note writes a step of strength. A later step at the same moment replaces it.
func (b *box) note(t entry.Millis) {
	step := Strength{From: b.axis.moment(t), Skaters: b.skaters}
	if n := len(b.strength); n > 0 && b.strength[n-1].From.Abs == t {
		b.strength[n-1] = step
	} else if n == 0 || b.strength[n-1].Skaters != b.skaters {
		b.strength = append(b.strength, step)
	}
}

// period begins a period: a whistle, and, once the period has come, perhaps
// another number of skaters.
func (b *box) period(p PeriodSpan, reached bool) {
	b.advance(p.Abs)
	b.stoppage(p.Abs)
	if reached || b.base == 0 {
		b.base, b.overtime = p.Skaters, p.Stage.Kind == entry.Overtime
	}
	b.level(p.Abs)
}

// firstOut puts slots that are due at the same moment in the order that the
// captain names, and asks if nobody has; where the book has no such choice, in
// the order in which they were reported (Hockey Canada 4.14(c)).
func (b *box) firstOut(side entry.Side, due []*slot, t entry.Millis, now bool) []*slot {
	due = slices.Clone(due)
	entry.Arrange(due, func(x, y *slot) int { return cmp.Compare(x.term().order, y.term().order) })
	if b.code.Policies.SameEnd == rulebook.Reported {
		return due
	}
	id := "first/" + string(side)
	players := make([]entry.Jersey, len(due))
	for i, s := range due {
		id += "/" + s.term().ID
		players[i] = s.row.player
	}
	picks, answered := b.answers[id]
	b.ask(Question{
		ID: id, Side: side, Moment: b.axis.moment(t), Now: now, Players: players, Count: 1,
		Default: players[:1], Answered: answered, Say: Say{Key: "ask.first_out"},
		Reason: b.reason(rulebook.TopicSameEnd, "why.same_end", nil),
	})
	entry.Arrange(due, func(x, y *slot) int {
		return cmp.Compare(pickRank(picks, x.row.player), pickRank(picks, y.row.player))
	})
	return due
}

func pickRank(picks []entry.Jersey, j entry.Jersey) int {
	if i := slices.IndexFunc(picks, j.Same); i >= 0 {
		return i
	}
	return len(picks)
}

// ask adds a question, or moves it to an earlier moment.
func (b *box) ask(q Question) {
	for i := range b.asked {
		if b.asked[i].ID == q.ID {
			return
		}
	}
	b.asked = append(b.asked, q)
}

// reason cites the rule behind a topic.
func (b *box) reason(topic rulebook.Topic, key string, args Args) Reason {
	return Reason{Code: b.code.ID, Rule: b.code.Rules[topic].Rule, Say: Say{Key: key, Args: args}}
}
