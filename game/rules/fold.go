package rules

import (
	"math"
	"slices"

	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/game/rulebook"
)

// ErrNotOpened is returned for a ledger that does not begin with the opening of
// a game.
var ErrNotOpened = message.New("fold.not_opened")

// forever is later than any moment of any game.
const forever = entry.Millis(math.MaxInt64 / 4)

// Fold turns a ledger into the state of the game. The ledger must begin with a
// GameOpened entry whose division can be read; anything else that an entry says
// is folded as well as it can be, because what was once accepted is never lost.
func Fold(ledger []entry.Entry) (State, error) {
	if len(ledger) == 0 {
		return State{}, ErrNotOpened
	}
	f := &folding{posted: posted{ledger: ledger}, alone: true}
	if err := f.whole(); err != nil {
		return State{}, err
	}
	return f.state, nil
}

// folding is a fold under way.
type folding struct {
	walked
	posted  posted       // the whole ledger
	ledger  []settled    // what comes after the entries that were walked before
	first   int          // how many those are
	played  int          // how many goals and calls are among them
	faced   int          // how many face-offs are among them
	told    entry.Millis // the length of the clock that the newest of those tells of
	box     *box
	came    []outcome // of each play, in the order of posting
	goals   []*goalAt
	calls   []*called
	coaches [2]int    // penalties with which a side's head coach misses the next game; 0: not so many
	grave   []*called // calls that send a player off, or count towards it
	before  *Folded   // the fold of a beginning of the ledger; nil: none is known
	grows   bool      // another fold goes on from this one, as this one from the fold before
	alone   bool      // nothing is asked for but the state

	// What becomes of Folded.
	fresh  []int
	left   *walked // of following the entries
	points []*walked
	made   []lineOf
	taken  *int
}

// folded is the fold with what helps to fold the ledger again.
func (f *folding) folded() *Folded {
	return &Folded{State: f.state, Fresh: f.fresh, walked: f.left, points: f.points, made: f.made, taken: f.taken}
}

// outcome is what came of a goal or a call.
type outcome struct {
	follows []Reason
	goal    *Goal // of the record
}

// foldOn folds a ledger with drafts behind it, and goes on from the fold of a
// beginning of it where that still holds.
func foldOn(before *Folded, ledger, drafts []entry.Entry, grows bool) (*folding, error) {
	all := posted{ledger: ledger, drafts: drafts}
	if from := before.usable(all); from != nil {
		f := &folding{walked: from.clone(), posted: all, first: from.count, told: from.length, before: before, grows: grows}
		f.played, f.faced = len(from.plays), len(from.faceOffs)
		f.points = before.pointsUpTo(from.count)
		if f.walk(); sameSpans(f.state.Periods, before.State.Periods) {
			f.playedOut()
			return f, nil
		}
	}
	f := &folding{posted: all, before: before, grows: grows}
	return f, f.whole()
}

// whole folds from the first entry on.
func (f *folding) whole() error {
	if err := f.open(); err != nil {
		return err
	}
	f.walk()
	f.playedOut()
	return nil
}

// open begins with the first entry.
func (f *folding) open() error {
	f.ledger = settle(f.posted.from(0), 0, nil)
	opened, ok := f.ledger[0].body.(entry.GameOpened)
	if !ok {
		return ErrNotOpened
	}
	division, err := rulebook.DivisionFromJSON(opened.Division)
	if err != nil {
		return message.Because(err, "fold.division")
	}
	code, ok := rulebook.CodeByID(division.Code)
	if !ok {
		return message.New("fold.code", "code", message.Plain(division.Code))
	}
	f.code, f.begun, f.answers = code, map[int]entry.StageBegun{}, map[string][]entry.Jersey{}
	f.aside, f.later, f.seen = map[string]bool{}, map[string]bool{}, map[sideNumber]seated{}
	s := &f.state
	s.Game, s.Opened, s.Division, s.Stage.Kind = f.ledger[0].Game, true, division, entry.Setup
	s.Info = Info{
		Number: opened.Number, Schedule: opened.Schedule, Venue: opened.Venue, Date: opened.Date,
		Code: code.ID, Book: code.Name,
	}
	s.Teams = [2]Team{team(entry.Home, opened.Home), team(entry.Visitors, opened.Visitors)}
	s.Hold, s.Notices, s.Owed, s.Asked = []Item{}, []Item{}, []Item{}, []Question{}
	s.Bench.Clock = entry.Lead
	plays, stops, goals := 0, 0, 0
	for i := range f.ledger {
		e := &f.ledger[i]
		if e.row.Filed == entry.AsPlay {
			plays++
		}
		if _, stop := e.body.(entry.ClockStopped); stop {
			stops++
		}
		if _, goal := e.body.(entry.Goal); goal {
			goals++
		}
	}
	f.plays, f.stops, f.heard = make([]play, 0, plays), make([]entry.At, 0, stops), make([]news, 0, goals)
	f.spell(opened)
	f.withdrawn = withdrawnNumbers(f.ledger)
	return nil
}

// playedOut plays the game and writes its state.
func (f *folding) playedOut() {
	if f.grows {
		left := f.walked
		f.left = &left
	}
	f.came = make([]outcome, len(f.plays))
	f.playOut()
	f.record()
	f.finish()
	for i, numbers := range f.withdrawn {
		f.state.Teams[i].Withdrawn = numbers
	}
}

func team(side entry.Side, t entry.Team) Team {
	return Team{Side: side, Name: t.Name, Players: list(t.Players), Staff: list(t.Staff), Colour: t.Colour}
}

// whistle is one stoppage: what happened at it, if anything. Goals and calls stand in
// the order of the game, so those of one stoppage are next to each other.
type whistle struct {
	at    entry.At
	goals stretch
	calls stretch

	// before are the goals at the end of the period before, where calls made there
	// belong to this stoppage.
	before stretch
}

// stretch is a part of a list: from a place on, so many.
type stretch struct{ from, count int32 }

// of cuts the stretch from a list.
func of[T any](list []T, s stretch) []T { return list[s.from : s.from+s.count : s.from+s.count] }

// stopped lists when the clock was stopped, in order.
func (f *folding) stopped() []entry.At {
	stops := make([]entry.At, len(f.stops))
	for i, at := range f.stops {
		stops[i] = f.within(at)
	}
	entry.Arrange(stops, entry.At.Compare)
	return slices.Compact(stops)
}

// stopUntil plays the whistles before a moment; one at the moment is that of what
// happened there. It returns those that are left.
func (f *folding) stopUntil(moment entry.At, stops []entry.At) []entry.At {
	for len(stops) > 0 && stops[0].Compare(moment) <= 0 {
		if stops[0] != moment {
			f.whistle(whistle{at: stops[0]})
		}
		stops = stops[1:]
	}
	return stops
}

// whistles groups the plays by moment, and begins the record of each. What is in the
// entry is written where it belongs, field by field: a copy of each body besides took
// 5 kB of a full game's fold.
func (f *folding) whistles() []whistle {
	played := f.inOrder()
	scored, parts := 0, 0
	for _, p := range played {
		switch b := p.body.(type) {
		case entry.Goal:
			scored++
		case entry.Penalty:
			parts += len(b.Parts)
		default: // no other entry is played
		}
	}
	f.box.makeRoom(scored, len(played)-scored, parts, len(f.ledger))
	goals, calls := make([]goalAt, scored), make([]called, len(played)-scored)
	f.goals, f.calls = make([]*goalAt, 0, len(goals)), make([]*called, 0, len(calls))
	f.state.Goals, f.state.Calls = make([]Goal, len(goals)), make([]Call, len(calls))
	out := make([]whistle, 0, len(played))
	for _, p := range played {
		at := f.within(p.at)
		if n := len(out); n == 0 || out[n-1].at != at {
			out = append(out, whistle{
				at: at, goals: stretch{from: int32(len(f.goals))}, calls: stretch{from: int32(len(f.calls))},
			})
		}
		w := &out[len(out)-1]
		switch b := p.body.(type) {
		case entry.Goal:
			g := &goals[len(f.goals)]
			g.play, g.at, g.Goal = p, at, &f.state.Goals[len(f.goals)]
			g.Entry, g.Moment, g.Side, g.Scorer, g.Assists = p.id, f.box.axis.momentAt(at), b.Side, b.Scorer, list(b.Assists)
			g.On, g.EmptyNet, g.OwnGoal, g.OnIce = b.On, b.EmptyNet, b.OwnGoal, b.OnIce
			g.Reasons = f.box.room.reasons.take(1)[:0]
			f.goals = append(f.goals, g)
			w.goals.count++
		case entry.Penalty:
			c := &calls[len(f.calls)]
			c.play, c.at, c.Call = p, at, &f.state.Calls[len(f.calls)]
			c.Entry, c.Moment, c.Side, c.Player, c.Bench = p.id, f.box.axis.momentAt(at), b.Side, b.Player, b.Bench
			c.Call.Call, c.Parts, c.WarmUp = b.Call, b.Parts, p.at.Period < 1
			c.servedBy, c.lengths, c.signalled = b.ServedBy, b.Lengths, b.Signalled
			f.calls = append(f.calls, c)
			w.calls.count++
			if slices.ContainsFunc(b.Parts, func(p entry.Part) bool { return p == entry.Misconduct || p.Ejects() }) {
				f.grave = append(f.grave, c)
			}
		default: // the other entries say nothing here
		}
	}
	f.acrossBreaks(out)
	return out
}

// acrossBreaks makes one stoppage of the end of a period and what comes before
// the next face-off: calls of both sides made on either side of the break are
// matched (USA Hockey 402(f); NFHS 9-1-9).
func (f *folding) acrossBreaks(all []whistle) {
	for i := 1; i < len(all); i++ {
		end, next := &all[i-1], &all[i]
		if end.calls.count == 0 || next.calls.count == 0 || next.goals.count > 0 ||
			next.at.Period != end.at.Period+1 || next.at.Elapsed > 0 ||
			end.at.Elapsed < f.box.axis.span(end.at.Period).Length {
			continue
		}
		next.calls, next.before = stretch{end.calls.from, end.calls.count + next.calls.count}, end.goals
		end.calls.count = 0
	}
}

// within keeps a moment on the axis. What happened at one whistle has one
// moment; the order that was put right by hand has been used by now.
func (f *folding) within(at entry.At) entry.At {
	span := f.box.axis.span(at.Period)
	return entry.At{Period: span.Period, Elapsed: min(at.Elapsed, span.Length)}
}

// playOut plays the game from whistle to whistle, and beyond the last one as if
// play went on for ever.
func (f *folding) playOut() {
	b := f.box
	all, stops := f.whistles(), f.stopped()
	for _, span := range b.axis {
		b.period(span, f.reached(span))
		for len(all) > 0 && all[0].at.Period == span.Period {
			stops = f.stopUntil(all[0].at, stops)
			f.whistle(all[0])
			all = all[1:]
		}
		stops = f.stopUntil(entry.At{Period: span.Period, Elapsed: forever}, stops)
	}
	b.advance(forever)
	f.state.Strength, f.state.Asked = b.strength, append(f.state.Asked, b.asked...)
	f.state.Releases = list(b.releases)
}

// reached reports whether a period has come: it was begun, or the break before it
// is on. Until then the skaters are those of the period before.
func (f *folding) reached(span PeriodSpan) bool {
	stage := f.state.Stage
	return span.Begun || stage.Kind == entry.Intermission && stage.Number >= span.Period-1
}

// whistle works out one stoppage. Goals come before calls: a goal is judged by
// who was on the ice when it was scored.
func (f *folding) whistle(w whistle) {
	b := f.box
	t := b.axis.abs(w.at)
	b.advance(t)
	goals, calls := of(f.goals, w.goals), of(f.calls, w.calls)
	for i, g := range goals {
		if i > 0 { // the puck was dropped between the two
			b.stoppage(t)
			b.level(t)
		}
		b.goal(g, calls)
	}
	b.stoppage(t)
	if w.before.count > 0 { // then none was scored at this one
		goals = of(f.goals, w.before)
	}
	if len(calls) > 0 {
		b.calls(calls, goals, w.at)
		for _, c := range calls {
			f.came[c.play.nth].follows = c.Reasons
		}
	}
	for _, g := range goals {
		f.came[g.play.nth].follows = g.Reasons
	}
	b.level(t)
}
