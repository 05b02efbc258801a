package rules

import (
	"slices"

	"whistlestop/game/entry"
)

// spelling is how the numbers of both sides are written: as the newest roster
// that has them, else as they were written first.
type spelling struct {
	written [2][]written // few of each side, so they are looked through
}

// written is how one number is written.
type written struct {
	as       entry.Jersey
	rostered [2]bool // the newest roster has it bare, and with a zero before it
}

// zero tells the two ways of writing a number apart.
func zero(j entry.Jersey) int { return len(j) - len(j.Bare()) }

// spell makes one number of 5 and 05 wherever somebody is named, and writes it
// as the roster does. A roster that has both means two players, and keeps them.
func (f *folding) spell(opened entry.GameOpened) {
	s := &f.spelling
	for i, team := range []entry.Team{opened.Home, opened.Visitors} {
		s.written[i] = make([]written, 0, len(team.Players))
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
			e.rewritten |= 1 << (place % 32)
		}
		place++
		return as
	}
	if body := entry.MapNumbers(e.body, write); e.rewritten != 0 {
		e.body = body
	}
}

func (s *spelling) learn(side entry.Side, players []entry.Player) {
	known := s.written[side.Index()]
	for i := range known {
		known[i].rostered = [2]bool{}
	}
	for i := range players {
		number := players[i].Number
		if number == "" {
			continue
		}
		w := s.find(side, number)
		w.as, w.rostered[zero(number)] = number, true
	}
}

// find returns how a number is written; of a new one as it is here.
func (s *spelling) find(side entry.Side, j entry.Jersey) *written {
	known, last := &s.written[side.Index()], j[len(j)-1]
	for i := range *known {
		if w := &(*known)[i]; w.as[len(w.as)-1] == last && w.as.Same(j) {
			return w
		}
	}
	*known = append(*known, written{as: j})
	return &(*known)[len(*known)-1]
}

func (s *spelling) write(side entry.Side, j entry.Jersey) entry.Jersey {
	if j == "" {
		return j
	}
	w := s.find(side, j)
	if w.rostered[zero(j)] {
		return j
	}
	return w.as
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
