package audit

import (
	"cmp"
	"slices"
	"strings"

	"whistlestop/game/entry"
)

// order puts the lines of a sheet into the order of the game, whatever the order
// in which they were written. What happened in the same second has an order of
// its own, which does not depend on the rows either.
func (s *Sheet) order() {
	if s.Exact {
		return // a bench knows what came first in a second
	}
	for i := range s.Teams {
		s.Teams[i].Players = slices.Clone(s.Teams[i].Players)
		slices.SortStableFunc(s.Teams[i].Players, func(x, y SheetMember) int {
			return cmp.Or(cmp.Compare(x.Number, y.Number), cmp.Compare(x.Away, y.Away), cmp.Compare(x.Name, y.Name))
		})
	}
	s.orderGoals()
	s.orderCalls()
	s.Changes = slices.Clone(s.Changes)
	slices.SortStableFunc(s.Changes, func(x, y SheetChange) int {
		return cmp.Or(x.Place.compare(y.Place), cmp.Compare(x.Number, y.Number))
	})
	s.TimeOuts = slices.Clone(s.TimeOuts)
	slices.SortStableFunc(s.TimeOuts, func(x, y SheetTimeOut) int { return x.compare(y.Place) })
}

// compare orders places by period and time. A line without a time comes last in
// its period.
func (p Place) compare(o Place) int {
	late := func(p Place) int {
		if p.NoTime {
			return 1
		}
		return 0
	}
	return cmp.Or(cmp.Compare(p.At.Period, o.At.Period), cmp.Compare(late(p), late(o)), p.At.Compare(o.At), cmp.Compare(p.Side, o.Side))
}

func (s *Sheet) orderGoals() {
	total := func(g SheetGoal) int {
		if g.Score == nil {
			return 0
		}
		return g.Score[0] + g.Score[1]
	}
	goals := slices.Clone(s.Goals)
	slices.SortStableFunc(goals, func(x, y SheetGoal) int {
		if c := cmp.Compare(x.At.Period, y.At.Period); c != 0 || x.NoTime != y.NoTime {
			return cmp.Or(c, x.Place.compare(y.Place))
		}
		return cmp.Or(x.At.Compare(y.At), cmp.Compare(total(x), total(y)), cmp.Compare(x.Side, y.Side),
			cmp.Compare(x.Scorer, y.Scorer), slices.Compare(x.Assists, y.Assists), cmp.Compare(x.Class, y.Class))
	})
	// A goal without a time, but with the score after it, has its place by that.
	s.Goals = make([]SheetGoal, 0, len(goals))
	for _, g := range goals {
		at := len(s.Goals)
		if g.NoTime && g.Score != nil {
			if i := slices.IndexFunc(s.Goals, func(o SheetGoal) bool {
				return o.At.Period == g.At.Period && o.Score != nil && total(o) > total(g)
			}); i >= 0 {
				at = i
			}
		}
		s.Goals = slices.Insert(s.Goals, at, g)
	}
}

// orderCalls keeps the parts of a call together. Of two calls in the same second
// the one whose time was over first comes first, which is how they were served,
// and one that nobody had to serve for comes before one that somebody did: of
// matched penalties those that are reported first fall away.
func (s *Sheet) orderCalls() {
	var calls [][]SheetCall
	for i := 0; i < len(s.Calls); {
		n := callLines(s.Calls[i:])
		calls = append(calls, s.Calls[i:i+n])
		i += n
	}
	last := func(at *entry.At) entry.At {
		if at == nil {
			return entry.At{Period: 1 << 20}
		}
		return *at
	}
	parts := func(c SheetCall) string {
		words := make([]string, len(c.Parts))
		for i, part := range c.Parts {
			words[i] = string(rune('a'+slices.Index(served, part))) + string(part)
		}
		return strings.Join(words, " ")
	}
	slices.SortStableFunc(calls, func(a, b []SheetCall) int {
		x, y := a[0], b[0]
		return cmp.Or(x.Place.compare(y.Place), last(x.Start).Compare(last(y.Start)), last(x.On).Compare(last(y.On)),
			cmp.Compare(x.ServedBy, y.ServedBy), cmp.Compare(x.Player, y.Player), cmp.Compare(parts(x), parts(y)), cmp.Compare(x.Call, y.Call))
	})
	s.Calls = slices.Concat(calls...)
}

// served is the order in which the parts of a call are served.
var served = []entry.Part{
	entry.PenaltyShot, entry.Minor, entry.BenchMinor, entry.Major, entry.Match, entry.Misconduct, entry.GameMisconduct,
}
