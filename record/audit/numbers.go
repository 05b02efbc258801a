package audit

import (
	"slices"

	"whistlestop/game/entry"
)

// writtenAsRostered writes the numbers of a sheet as its rosters do: 5 and 05 are
// one number, as they are in the fold. A roster that has both keeps both. The
// sheet that was given stays as it is.
func (s *Sheet) writtenAsRostered() {
	write := func(side entry.Side, j entry.Jersey) entry.Jersey {
		found := j
		for _, m := range s.Teams[side.Index()].Players {
			if m.Number == j {
				return j
			}
			if m.Number.Same(j) && found == j {
				found = m.Number
			}
		}
		return found
	}
	list := func(side entry.Side, numbers []entry.Jersey) []entry.Jersey {
		numbers = slices.Clone(numbers)
		for i, j := range numbers {
			numbers[i] = write(side, j)
		}
		return numbers
	}
	s.Goals, s.Calls, s.Shots = slices.Clone(s.Goals), slices.Clone(s.Calls), slices.Clone(s.Shots)
	for i := range s.Goals {
		g := &s.Goals[i]
		g.Scorer, g.Assists = write(g.Side, g.Scorer), list(g.Side, g.Assists)
		g.Goalkeeper = write(g.Side.Other(), g.Goalkeeper)
		for _, side := range entry.Sides {
			g.OnIce[side.Index()] = list(side, g.OnIce[side.Index()])
		}
	}
	for i := range s.Calls {
		c := &s.Calls[i]
		c.Player, c.ServedBy = write(c.Side, c.Player), write(c.Side, c.ServedBy)
	}
	s.Changes, s.Attempts = slices.Clone(s.Changes), slices.Clone(s.Attempts)
	s.Goalkeepers, s.Players = slices.Clone(s.Goalkeepers), slices.Clone(s.Players)
	for i := range s.Changes {
		s.Changes[i].Number = write(s.Changes[i].Side, s.Changes[i].Number)
	}
	for i := range s.Attempts {
		s.Attempts[i].Player = write(s.Attempts[i].Side, s.Attempts[i].Player)
	}
	for i := range s.Goalkeepers {
		s.Goalkeepers[i].Number = write(s.Goalkeepers[i].Side, s.Goalkeepers[i].Number)
	}
	for i := range s.Players {
		s.Players[i].Number = write(s.Players[i].Side, s.Players[i].Number)
	}
	for i := range s.Shots {
		s.Shots[i].Goalkeeper = write(s.Shots[i].Side.Other(), s.Shots[i].Goalkeeper)
	}
}
