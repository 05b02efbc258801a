package rink

import (
	"slices"

	"whistlestop/game/dice"
	"whistlestop/game/entry"
	"whistlestop/practice/plot"
)

// decided is the last part of a stretch, in which the side has the puck that has it
// in the end.
const decided = 11_000

// match is a stretch of play while it is drawn.
type match struct {
	ice
	luck   *dice.Luck
	end    ending
	drop   int // the cue
	moment int

	carrier int  // who has the puck; -1: it is on its way
	to      int  // who is to get it; -1: nobody, it goes to a spot
	target  Spot // where the puck goes that nobody is to get
	speed   int  // of the puck on its way
	thinks  entry.Millis
	chained int // so many of the chain had the puck
	final   bool
	changes entry.Millis // until somebody goes for a change
}

// play draws a stretch of play from a drop to the whistle.
func (p *picture) play(drop int) *match {
	whistle := p.until(drop)
	line := p.lineUp(drop)
	m := &match{
		ice: ice{picture: p, left: line.left, puck: line.spot}, luck: p.luck("play", drop), end: p.ending(whistle),
		drop: drop, moment: p.moment(drop), carrier: -1, to: -1, target: line.spot, thinks: 500, changes: 25_000,
	}
	m.referee = mover{Skater: Skater{Spot: bound(Spot{line.spot.X, line.spot.Y - 260})}}
	for _, s := range line.players {
		m.join(s)
	}
	from, to := p.script.Cues[drop].Real, p.script.Cues[whistle].Real
	abs := p.abs(p.playedFrom(drop))
	for at := from; ; at += step {
		last := at >= to
		if last {
			at = to
		}
		if last || (at-from)%frameEvery == 0 {
			m.take(at)
		}
		if last {
			m.film.flush()
			return m
		}
		m.come(abs, abs+at-from)
		m.change(to - at)
		m.plan(min(to-at, 60_000))
		m.fly(min(step, to-at))
		m.skate(to - at)
	}
}

// join lets somebody onto the ice, in the role that their side lacks.
func (m *match) join(s Skater) {
	role, lane := 0, RinkWidth/2
	if !s.Goalkeeper {
		taken := []int{}
		for i := range m.movers {
			if m.movers[i].Side == s.Side && !m.movers[i].Goalkeeper {
				taken = append(taken, m.movers[i].role)
			}
		}
		fill := roles[min(6, len(taken)+1)]
		for _, r := range fill {
			if !slices.Contains(taken, r) {
				role = r
				break
			}
		}
		lane = []int{1300, 520, 2080, 800, 1800, 1300}[role]
	}
	m.movers = append(m.movers, mover{Skater: s, role: role, lane: lane})
}

// come lets those out of the box whose time is over, and sees to it that both
// sides have as many skaters as they may.
func (m *match) come(from, now entry.Millis) {
	may := m.skaters(now)
	for _, side := range entry.Sides {
		for m.skatersOf(side) < may[side.Index()] {
			s := Skater{Side: side, Spot: benchOf(side)}
			for _, r := range m.freed(from-1, now+1) {
				if r.Side == side && r.Sits != "" && m.find(side, r.Sits) < 0 {
					s.Number, s.Spot = r.Sits, gateOf(side)
				}
			}
			if s.Number == "" {
				s.Number = m.fresh(side)
			}
			if s.Number == "" {
				break
			}
			m.join(s)
		}
		for m.skatersOf(side) > may[side.Index()] {
			m.remove(m.nearest(benchOf(side), side, m.carrier))
		}
	}
}

// remove takes somebody from the ice who is at a door.
func (m *match) remove(i int) {
	m.movers = slices.Delete(m.movers, i, i+1)
	for _, who := range []*int{&m.carrier, &m.to} {
		switch {
		case *who == i:
			*who = -1
		case *who > i:
			*who--
		}
	}
}

// fresh names somebody from the bench, or nobody.
func (m *match) fresh(side entry.Side) entry.Jersey {
	team := m.team(side).Players
	turn := m.luck.Below(max(1, len(team)))
	for i := range team {
		pl := team[(i+turn)%len(team)]
		if !pl.Goalkeeper && m.find(side, pl.Number) < 0 && !m.inBox(m.moment, side, pl.Number) {
			return pl.Number
		}
	}
	return ""
}

// change sends somebody of each side to the bench now and then, and the next one
// onto the ice when they are there.
func (m *match) change(left entry.Millis) {
	if m.changes -= step; m.changes <= 0 && left > 12_000 {
		m.changes = entry.Millis(m.luck.Between(9, 16)) * 1000
		side := dice.Pick(m.luck, entry.Sides[:])
		if i := m.nearest(benchOf(side), side, m.carrier); i >= 0 && i != m.to && !m.needed(i) && m.fresh(side) != "" {
			m.movers[i].leaves = true
		}
	}
	for i := range m.movers {
		one := &m.movers[i]
		if !one.leaves || distance(one.Spot, benchOf(one.Side)) > 120 {
			continue
		}
		if next := m.fresh(one.Side); next != "" {
			one.Number = next
		}
		one.leaves = false
	}
}

// needed reports whether somebody has a part in how the stretch ends.
func (m *match) needed(i int) bool {
	one := m.movers[i]
	return one.Side == m.end.attacks && slices.Contains(m.end.chain, one.Number) ||
		slices.Contains(m.end.fouls, foul{one.Side, one.Number})
}

// pass sends the puck to somebody.
func (m *match) pass(to, speed int) {
	if to >= 0 {
		m.carrier, m.to, m.speed = -1, to, speed
	}
}

// shoot sends the puck to a spot.
func (m *match) shoot(to Spot, speed int) {
	m.carrier, m.to, m.target, m.speed = -1, -1, to, speed
}

// blade is where the puck is that somebody has.
func (m *match) blade(i int) Spot {
	one := m.movers[i]
	if v := root(one.vx*one.vx + one.vy*one.vy); v > 80 {
		return bound(Spot{one.X + one.vx*110/v, one.Y + one.vy*110/v})
	}
	return bound(Spot{one.X + way(one.Side, m.left)*100, one.Y})
}

// fly moves the puck for so many milliseconds.
func (m *match) fly(ms entry.Millis) {
	switch {
	case m.carrier >= 0:
		m.puck = toward(m.puck, m.blade(m.carrier), flies*int(ms)/1000)
	case m.to >= 0:
		to := m.blade(m.to)
		m.puck = toward(m.puck, to, m.speed*int(ms)/1000)
		if m.puck == to {
			m.carrier, m.to = m.to, -1
			m.thinks = entry.Millis(m.luck.Between(7, 20)) * 100
		}
	default:
		m.puck = toward(m.puck, m.target, m.speed*int(ms)/1000)
	}
}

// plan decides what happens to the puck next, with so much time until the whistle.
func (m *match) plan(left entry.Millis) {
	if m.finish(left) {
		return
	}
	m.thinks -= step
	switch {
	case m.thinks > 0:
		return
	case m.carrier < 0 && m.to < 0: // dropped, or saved: somebody gets it
		side := entry.Side("")
		if left < decided {
			side = m.end.attacks
		}
		m.pass(m.nearest(m.puck, side, -1), carried)
		return
	case m.carrier < 0:
		return
	}
	m.thinks = entry.Millis(m.luck.Between(7, 20)) * 100
	one := &m.movers[m.carrier]
	goal := goalOf(one.Side.Other(), m.left)
	keeps := left < decided && one.Side == m.end.attacks // the end is near: no more chances for the others
	takes := left < decided && one.Side != m.end.attacks
	switch n := m.luck.Below(1000); {
	case takes, !keeps && n < 150:
		m.pass(m.nearest(m.puck, one.Side.Other(), -1), carried)
	case distance(one.Spot, goal) < 1500 && !keeps && n < 550:
		m.shoot(Spot{goal.X + way(one.Side, m.left)*-160, goal.Y + m.luck.Between(-60, 60)}, shot)
		m.thinks = 1_100
	case n < 750:
		if to := m.mate(m.carrier); to >= 0 {
			m.pass(to, passed)
		}
	default:
		one.lane = m.luck.Between(350, RinkWidth-350)
	}
}

// mate is a teammate of somebody, any but the goalkeeper.
func (m *match) mate(of int) int {
	var mates []int
	for i := range m.movers {
		one := &m.movers[i]
		if i != of && one.Side == m.movers[of].Side && !one.Goalkeeper && !one.leaves {
			mates = append(mates, i)
		}
	}
	if len(mates) == 0 {
		return -1
	}
	return dice.Pick(m.luck, mates)
}

// finish sees to it that play ends as the script says. It reports whether what
// happens to the puck is settled.
func (m *match) finish(left entry.Millis) bool {
	if m.final {
		return true
	}
	e := m.end
	goal := goalOf(e.attacks.Other(), m.left)
	w := way(e.attacks, m.left)
	last := func(to Spot, at int) bool {
		if d := distance(m.puck, to); int(left) <= max(600, d*1000/at) {
			m.shoot(to, min(flies, max(900, d*1000/max(step, int(left))+20)))
			m.final = true
		}
		return m.final
	}
	switch {
	case e.into != "":
		if last(Spot{goal.X + w*50, goal.Y + m.goalSide()}, shot) {
			return true
		}
		return m.link(left)
	case e.why == plot.ForPuck || e.why == plot.ForNet:
		return last(Spot{goal.X - w*110, goal.Y + m.goalSide()}, shot)
	case e.why == plot.ForIcing:
		return last(bound(Spot{goal.X + w*220, m.target.Y/2 + 650}), shot)
	default:
		return false
	}
}

// goalSide is on which side of the goal's middle the puck comes.
func (m *match) goalSide() int { return int(m.end.faceOff.Y+m.drop*37)%120 - 60 }

// link passes the puck on to those who are said to have had it before a goal.
func (m *match) link(left entry.Millis) bool {
	for m.chained < len(m.end.chain) {
		due := entry.Millis(2_200 + 1_700*(len(m.end.chain)-1-m.chained))
		if left > due {
			return false
		}
		i := m.find(m.end.attacks, m.end.chain[m.chained])
		m.chained++
		if i >= 0 && !m.movers[i].Goalkeeper && i != m.carrier {
			m.pass(i, passed+400)
			return true
		}
	}
	return m.chained > 0
}
