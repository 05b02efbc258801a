package rink

import (
	"slices"

	"whistlestop/game/entry"
	"whistlestop/practice/plot"
)

// skate moves everybody by a step, with so much time until the whistle.
func (m *match) skate(left entry.Millis) {
	with := m.possession()
	all := slices.Clone(m.movers)
	for i := range m.movers {
		one := &m.movers[i]
		to, speed := m.wish(i, with, left)
		if !one.Goalkeeper && i != m.carrier {
			to = away(to, one, all)
		}
		one.head(to, speed, 900)
	}
	m.referee.head(bound(Spot{m.puck.X - 500*sign(m.puck.X-RinkLength/2), 430}), skates, 600)
}

// possession is whose puck it is.
func (m *match) possession() entry.Side {
	switch {
	case m.carrier >= 0:
		return m.movers[m.carrier].Side
	case m.to >= 0:
		return m.movers[m.to].Side
	default:
		return m.end.attacks
	}
}

// wish is where somebody wants to be, and how fast they skate there.
func (m *match) wish(i int, with entry.Side, left entry.Millis) (Spot, int) {
	one := &m.movers[i]
	own, other, w := goalOf(one.Side, m.left), goalOf(one.Side.Other(), m.left), way(one.Side, m.left)
	switch {
	case one.Goalkeeper:
		return Spot{own.X + w*120, own.Y + min(90, max(-90, (m.puck.Y-own.Y)/7))}, strolls
	case one.leaves:
		return benchOf(one.Side), skates
	case i == m.to:
		return m.puck, skates
	case i == m.carrier:
		return m.carry(one, other, w, left)
	case left < 6_000 && m.end.into != "" && m.needed(i) && !m.final:
		return Spot{other.X - w*(700+one.role*150), (one.lane + other.Y) / 2}, carried // to where the goal is made
	case one.Side != with:
		return m.defend(i, own, w, left)
	}
	// With the puck: the wings ahead of it, the defence behind, and nobody over the
	// blue line before it.
	x := m.puck.X + w*[]int{150, 450, 450, -750, -750, -100}[one.role]
	line := other.X - w*(blueLine-goalLine)
	if ahead := w * (m.puck.X - line); ahead < 0 {
		x = w * min(w*x, w*(line-w*100))
		if m.end.why == plot.ForOffside && left < 1_600 && one.Side == m.end.attacks && one.role < 3 && one.role > 0 {
			x = line + w*350 // over the line too early
		}
	} else {
		x = w * max(w*x, w*(line+w*80))
	}
	x = w * min(w*x, w*(other.X-w*250))
	x = w * max(w*x, w*(own.X+w*200))
	y := (one.lane*3 + m.puck.Y) / 4
	return Spot{x, y}, skates
}

// carry is where somebody goes who has the puck.
func (m *match) carry(one *mover, other Spot, w int, left entry.Millis) (Spot, int) {
	to := Spot{other.X - w*600, (one.lane + other.Y) / 2}
	switch {
	case m.end.why == plot.ForIcing && left < 8_000 && one.Side == m.end.attacks:
		to = Spot{RinkLength/2 - w*500, one.lane} // it is shot from the own half
	case m.end.why == plot.ForOffside && left < 6_000 && one.Side == m.end.attacks:
		// The puck comes to the blue line as the whistle blows.
		to = Spot{other.X - w*(blueLine-goalLine) - w*int(left)*4/10, one.lane}
	case distance(one.Spot, to) < 250:
		to = Spot{other.X - w*300, RinkWidth - one.lane}
	}
	return to, carried - 150
}

// defend is where somebody goes whose side does not have the puck: one to whoever
// has it, the others between it and the own goal.
func (m *match) defend(i int, own Spot, w int, left entry.Millis) (Spot, int) {
	one := &m.movers[i]
	if left < 4_000 && slices.Contains(m.end.fouls, foul{one.Side, one.Number}) || i == m.nearest(m.puck, one.Side, -1) {
		return m.puck, carried
	}
	deep := w * (m.puck.X - own.X)
	x := own.X + w*max(250, deep*[]int{75, 70, 70, 40, 40, 55}[one.role]/100)
	return Spot{x, (one.lane*2 + m.puck.Y + own.Y) / 4}, skates
}

func sign(n int) int {
	if n < 0 {
		return -1
	}
	return 1
}
