package rules

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"whistlestop/entry"
	"whistlestop/rulebook"
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
	return fold(settle(ledger))
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
	seen    map[string]seated   // by side and player
	goals   []*goalAt
	calls   []*called
}

func fold(ledger []settled) (State, error) {
	opened, ok := ledger[0].body.(entry.GameOpened)
	if !ok {
		return State{}, ErrNotOpened
	}
	division, err := rulebook.DivisionFromJSON(opened.Division)
	if err != nil {
		return State{}, fmt.Errorf("the game's division: %w", err)
	}
	code, ok := rulebook.CodeByID(division.Code)
	if !ok {
		return State{}, fmt.Errorf("this program does not know the code %q", division.Code)
	}
	f := &folding{
		ledger: ledger, opened: opened, code: code,
		begun: map[int]entry.StageBegun{}, follows: map[string][]Reason{}, aside: map[string]bool{},
		seen: map[string]seated{},
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
	f.walk()
	f.playOut()
	f.record()
	f.finish()
	return f.state, nil
}

func team(side entry.Side, t entry.Team) Team {
	return Team{Side: side, Name: t.Name, Players: list(t.Players)}
}

// whistle is one stoppage: what happened at it, if anything.
type whistle struct {
	at    entry.At
	goals []*goalAt
	calls []*called
}

// whistles groups the plays and the stops of the clock by moment.
func (f *folding) whistles() []whistle {
	out := make([]whistle, 0, len(f.ledger)/2)
	find := func(at entry.At) *whistle {
		at.Order = 0
		at.Period = f.box.axis.span(at.Period).Period
		at.Elapsed = min(at.Elapsed, f.box.axis.span(at.Period).Length)
		i, found := slices.BinarySearchFunc(out, at, func(w whistle, at entry.At) int { return w.at.Compare(at) })
		if !found {
			out = slices.Insert(out, i, whistle{at: at})
		}
		return &out[i]
	}
	for _, p := range plays(f.ledger) {
		w := find(p.at)
		p.at = w.at
		switch b := p.body.(type) {
		case entry.Goal:
			g := &goalAt{play: p, g: b}
			w.goals = append(w.goals, g)
			f.goals = append(f.goals, g)
		case entry.Penalty:
			c := &called{play: p, p: b}
			w.calls = append(w.calls, c)
			f.calls = append(f.calls, c)
		}
	}
	for _, at := range f.stops {
		find(at)
	}
	return out
}

// playOut plays the game from whistle to whistle, and beyond the last one as if
// play went on for ever.
func (f *folding) playOut() {
	b := f.box
	all := f.whistles()
	for _, span := range b.axis {
		b.period(span)
		for len(all) > 0 && all[0].at.Period == span.Period {
			f.whistle(all[0])
			all = all[1:]
		}
	}
	b.advance(forever)
	f.state.Strength, f.state.Asked = b.strength, append(f.state.Asked, b.asked...)
	f.state.Releases = append([]Release{}, b.releases...)
}

// whistle works out one stoppage. Goals come before calls: a goal is judged by
// who was on the ice when it was scored.
func (f *folding) whistle(w whistle) {
	b := f.box
	t := b.axis.abs(w.at)
	b.advance(t)
	for _, g := range w.goals {
		b.goal(g)
	}
	b.stoppage(t)
	if len(w.calls) > 0 {
		b.calls(w.calls, w.goals, w.at)
		for _, c := range w.calls {
			f.follows[c.play.id] = c.notes
		}
	}
	for _, g := range w.goals {
		f.follows[g.play.id] = g.notes
	}
	b.level(t)
}
