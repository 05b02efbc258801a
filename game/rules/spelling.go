package rules

import (
	"slices"

	"whistlestop/game/entry"
)

// spelling is how the numbers of both sides are written: as the newest roster
// that has them, else as they were written first.
type spelling struct {
	written [2]map[entry.Jersey]written // by the bare number
}

// written is how one number is written.
type written struct {
	as       entry.Jersey
	rostered [2]bool // the newest roster has it bare, and with a zero before it
}

// zero tells the two ways of writing a number apart.
func zero(j, bare entry.Jersey) int { return len(j) - len(bare) }

// spell makes one number of 5 and 05 wherever somebody is named, and writes it
// as the roster does. A roster that has both means two players, and keeps them.
func (f *folding) spell(opened entry.GameOpened) {
	s := &f.spelling
	for i, team := range []entry.Team{opened.Home, opened.Visitors} {
		s.written[i] = make(map[entry.Jersey]written, len(team.Players))
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
	e.body = entry.MapNumbers(e.body, write)
}

func (s *spelling) learn(side entry.Side, players []entry.Player) {
	known := s.written[side.Index()]
	for bare, w := range known {
		known[bare] = written{as: w.as}
	}
	for i := range players {
		number, bare := players[i].Number, players[i].Number.Bare()
		w := known[bare]
		w.as, w.rostered[zero(number, bare)] = number, true
		known[bare] = w
	}
}

func (s *spelling) write(side entry.Side, j entry.Jersey) entry.Jersey {
	if j == "" {
		return j
	}
	known, bare := s.written[side.Index()], j.Bare()
	w, is := known[bare]
	switch {
	case !is:
		known[bare] = written{as: j}
		return j
	case w.rostered[zero(j, bare)]:
		return j
	default:
		return w.as
	}
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
