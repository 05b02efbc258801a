package rules

import (
	"slices"

	"whistlestop/game/entry"
)

// spelling is how the numbers of both sides are written: as the newest roster
// that has them, else as they were written first.
type spelling struct {
	rostered [2]map[entry.Jersey]bool         // by the newest roster, as written there
	written  [2]map[entry.Jersey]entry.Jersey // by the bare number
}

// spell makes one number of 5 and 05 wherever somebody is named, and writes it
// as the roster does. A roster that has both means two players, and keeps them.
func (f *folding) spell(opened entry.GameOpened) {
	s := &f.spelling
	for i, team := range []entry.Team{opened.Home, opened.Visitors} {
		s.written[i] = make(map[entry.Jersey]entry.Jersey, len(team.Players))
	}
	s.learn(entry.Home, opened.Home.Players)
	s.learn(entry.Visitors, opened.Visitors.Players)
	for i := range f.ledger {
		if b, is := f.ledger[i].body.(entry.RosterSet); is && !f.ledger[i].struck && b.Side.Valid() {
			s.learn(b.Side, b.Team.Players)
		}
	}
}

// rewrite writes the numbers of an entry as they are spelled.
func (s *spelling) rewrite(e *settled) {
	place := 0
	write := func(side entry.Side, j entry.Jersey) entry.Jersey {
		as := s.write(side, j)
		if as != j {
			e.rewritten |= 1 << (place % 64)
		}
		place++
		return as
	}
	if changed := entry.MapNumbers(e.body, write); e.rewritten != 0 {
		e.body = changed
	}
}

func (s *spelling) learn(side entry.Side, players []entry.Player) {
	i := side.Index()
	s.rostered[i] = make(map[entry.Jersey]bool, len(players))
	for _, p := range players {
		s.rostered[i][p.Number] = true
		s.written[i][p.Number.Bare()] = p.Number
	}
}

func (s *spelling) write(side entry.Side, j entry.Jersey) entry.Jersey {
	i, bare := side.Index(), j.Bare()
	if j == "" || s.rostered[i][j] {
		return j
	}
	if known, is := s.written[i][bare]; is {
		return known
	}
	s.written[i][bare] = j
	return j
}

// twoWays reports whether a roster has a number in both ways, as two players.
func twoWays(players []entry.Player, a, b entry.Jersey) bool {
	has := func(j entry.Jersey) bool {
		return slices.ContainsFunc(players, func(p entry.Player) bool { return p.Number == j })
	}
	return a != b && has(a) && has(b)
}

// asWritten is a captain's answer by the numbers as they are written here, without
// those who are not to choose from.
func asWritten(picks, players []entry.Jersey) (out []entry.Jersey) {
	for _, pick := range picks {
		i := slices.Index(players, pick)
		if i < 0 {
			i = slices.IndexFunc(players, pick.Same)
		}
		if i >= 0 {
			out = append(out, players[i])
		}
	}
	return out
}
