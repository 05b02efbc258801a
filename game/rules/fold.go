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
	f, err := foldOn(nil, ledger, nil, false)
	if err != nil {
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
	if err := f.open(); err != nil {
		return nil, err
	}
	f.walk()
	f.playedOut()
	return f, nil
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
	plays, stops := 0, 0
	for i := range f.ledger {
		if f.ledger[i].row.Filed == entry.AsPlay {
			plays++
		}
		if _, stop := f.ledger[i].body.(entry.ClockStopped); stop {
			stops++
		}
	}
	f.plays, f.stops = make([]play, 0, plays), make([]entry.At, 0, stops)
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

// whistle is one stoppage: what happened at it, if anything.
type whistle struct {
	at    entry.At
	goals []*goalAt
	calls []*called

	// before are the goals at the end of the period before, where calls made there
	// belong to this stoppage.
	before []*goalAt
}

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

// whistles groups the plays by moment.
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
	out := make([]whistle, 0, len(played))
	for _, p := range played {
		at := f.within(p.at)
		if n := len(out); n == 0 || out[n-1].at != at {
			out = append(out, whistle{at: at})
		}
		w := &out[len(out)-1]
		switch b := p.body.(type) {
		case entry.Goal:
			g := &goals[len(f.goals)]
			g.play, g.at, g.g, g.notes = p, at, b, f.box.room.reasons.take(1)[:0]
			f.goals = append(f.goals, g)
			w.goals = newest(f.goals, len(w.goals)+1)
		case entry.Penalty:
			c := &calls[len(f.calls)]
			c.play, c.at, c.warm, c.p = p, at, p.at.Period < 1, b
			f.calls = append(f.calls, c)
			w.calls = newest(f.calls, len(w.calls)+1)
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
		if len(end.calls) == 0 || len(next.calls) == 0 || len(next.goals) > 0 ||
			next.at.Period != end.at.Period+1 || next.at.Elapsed > 0 ||
			end.at.Elapsed < f.box.axis.span(end.at.Period).Length {
			continue
		}
		next.calls, next.before = slices.Concat(end.calls, next.calls), end.goals
		end.calls = nil
	}
}

// newest is the last n of a list: those of one whistle stand next to each other.
func newest[T any](list []T, n int) []T { return list[len(list)-n : len(list) : len(list)] }

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
	for i, g := range w.goals {
		if i > 0 { // the puck was dropped between the two
			b.stoppage(t)
			b.level(t)
		}
		b.goal(g, w.calls)
	}
	b.stoppage(t)
	goals := w.goals
	if len(w.calls) > 0 {
		goals = slices.Concat(w.before, w.goals)
		b.calls(w.calls, goals, w.at)
		for _, c := range w.calls {
			f.came[c.play.nth].follows = c.notes
		}
	}
	for _, g := range goals {
		f.came[g.play.nth].follows = g.notes
	}
	b.level(t)
}
