package rules

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
)

// ErrNotOpened is returned for a ledger that does not begin with the opening of
// a game.
var ErrNotOpened = errors.New("the ledger does not begin with the opening of a game")

// forever is later than any moment of any game.
const forever = entry.Millis(math.MaxInt64 / 4)

// Fold turns a ledger into the state of the game. The ledger must begin with a
// GameOpened entry whose division can be read; anything else that an entry says
// is folded as well as it can be, because what was once accepted is never lost.
func Fold(ledger []entry.Entry) (State, error) {
	if len(ledger) == 0 {
		return State{}, ErrNotOpened
	}
	after, err := FoldAfter(nil, ledger)
	if err != nil {
		return State{}, err
	}
	return after.State, nil
}

// folding is a fold under way.
type folding struct {
	ledger  []settled
	opened  entry.GameOpened
	code    *rulebook.Code
	state   State
	box     *box
	begun   map[int]entry.StageBegun
	stops   []entry.At
	follows map[string][]Reason // by entry
	aside   map[string]bool     // hold items set aside
	later   map[string]bool     // owed items set aside until the next break
	kept    [2]entry.Jersey     // who kept goal last
	seen    map[string]seated   // by side and player
	heard   map[string]entry.At // how far play had come when a goal was entered
	goals   []*goalAt
	calls   []*called
	coaches [2]int    // penalties with which a side's head coach misses the next game; 0: not so many
	grave   []*called // calls that send a player off, or count towards it
	before  *Folded   // the fold of a beginning of the ledger; nil: none is known
	after   Folded
}

func fold(ledger []settled, before *Folded) (*Folded, error) {
	opened, ok := ledger[0].body.(entry.GameOpened)
	if !ok {
		return nil, ErrNotOpened
	}
	division, err := rulebook.DivisionFromJSON(opened.Division)
	if err != nil {
		return nil, fmt.Errorf("the game's division: %w", err)
	}
	code, ok := rulebook.CodeByID(division.Code)
	if !ok {
		return nil, fmt.Errorf("this program does not know the code %q", division.Code)
	}
	f := &folding{
		ledger: ledger, opened: opened, code: code,
		begun: map[int]entry.StageBegun{}, follows: make(map[string][]Reason, min(len(ledger)/2, 128)), aside: map[string]bool{},
		later: map[string]bool{}, seen: map[string]seated{}, heard: map[string]entry.At{}, before: before,
	}
	f.state = State{
		Game: ledger[0].Game, Seq: ledger[len(ledger)-1].Seq, Opened: true, Division: division,
		Info: Info{
			Number: opened.Number, Venue: opened.Venue, Date: opened.Date,
			Code: code.ID, Book: code.Name,
		},
		Next: []NextStage{}, Goals: []Goal{}, Calls: []Call{}, Terms: []Term{}, Hold: []Item{},
		Notices: []Item{}, Owed: []Item{}, Asked: []Question{}, Lines: []Line{},
		Bench: Bench{Clock: entry.Lead},
	}
	f.spell()
	f.walk()
	f.playOut()
	f.record()
	f.finish()
	f.after.State = f.state
	return &f.after, nil
}

func team(side entry.Side, t entry.Team) Team {
	return Team{Side: side, Name: t.Name, Players: list(t.Players), Staff: list(t.Staff)}
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

// whistles groups the plays and the stops of the clock by moment. Both lists are
// in order, so they are merged.
func (f *folding) whistles() []whistle {
	played, stops := plays(f.ledger), make([]entry.At, len(f.stops))
	for i, at := range f.stops {
		stops[i] = f.within(at)
	}
	slices.SortFunc(stops, entry.At.Compare)
	scored := 0
	for _, p := range played {
		if _, is := p.body.(entry.Goal); is {
			scored++
		}
	}
	goals, calls := make([]goalAt, 0, scored), make([]called, 0, len(played)-scored)
	f.goals, f.calls = make([]*goalAt, 0, scored), make([]*called, 0, len(played)-scored)
	out := make([]whistle, 0, len(played)+len(stops))
	at := func(moment entry.At) *whistle {
		if n := len(out); n == 0 || out[n-1].at != moment {
			out = append(out, whistle{at: moment})
		}
		return &out[len(out)-1]
	}
	for _, p := range played {
		p.warm = p.at.Period < 1
		p.at = f.within(p.at)
		for len(stops) > 0 && stops[0].Compare(p.at) <= 0 {
			at(stops[0])
			stops = stops[1:]
		}
		w := at(p.at)
		switch b := p.body.(type) {
		case entry.Goal:
			goals = append(goals, goalAt{play: p, g: b})
			f.goals = append(f.goals, &goals[len(goals)-1])
			w.goals = newest(f.goals, len(w.goals)+1)
		case entry.Penalty:
			calls = append(calls, called{play: p, p: b})
			f.calls = append(f.calls, &calls[len(calls)-1])
			w.calls = newest(f.calls, len(w.calls)+1)
			if slices.ContainsFunc(b.Parts, func(p entry.Part) bool { return p == entry.Misconduct || p.Ejects() }) {
				f.grave = append(f.grave, &calls[len(calls)-1])
			}
		}
	}
	for _, stop := range stops {
		at(stop)
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
	all := f.whistles()
	for _, span := range b.axis {
		b.period(span, f.reached(span))
		for len(all) > 0 && all[0].at.Period == span.Period {
			f.whistle(all[0])
			all = all[1:]
		}
	}
	b.advance(forever)
	f.state.Strength, f.state.Asked = b.strength, append(f.state.Asked, b.asked...)
	f.state.Releases = append([]Release{}, b.releases...)
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
			f.follows[c.play.id] = c.notes
		}
	}
	for _, g := range goals {
		f.follows[g.play.id] = g.notes
	}
	b.level(t)
}
