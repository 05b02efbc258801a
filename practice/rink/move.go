package rink

import (
	"slices"

	"whistlestop/game/entry"
)

// step is the time in which everybody moves once, in milliseconds.
const step = 100

// Speeds in centimetres per second: common practice, no source. Nobody skates
// faster than hurries; nothing flies faster than flies.
const (
	strolls = 500
	skates  = 720
	hurries = 1000
	carried = 800
	passed  = 1600
	shot    = 3000
	flies   = 4300
)

// mover is somebody on the ice.
type mover struct {
	Skater
	vx, vy int // centimetres per second
	role   int // which of the places
	lane   int // Y where they like to skate
	leaves bool
}

// head lets a mover skate a step towards a spot, no faster than so much; gains is
// how much their speed may change in a second.
func (m *mover) head(to Spot, speed, gains int) {
	d := distance(m.Spot, to)
	want := Spot{}
	if d > 0 {
		v := min(speed, d*3)
		want = Spot{(to.X - m.X) * v / d, (to.Y - m.Y) * v / d}
	}
	change := Spot{want.X - m.vx, want.Y - m.vy}
	change = toward(Spot{}, change, gains*step/1000)
	m.vx += change.X
	m.vy += change.Y
	if fast := root(m.vx*m.vx + m.vy*m.vy); fast > hurries {
		m.vx, m.vy = m.vx*hurries/fast, m.vy*hurries/fast
	}
	m.Spot = bound(Spot{m.X + m.vx*step/1000, m.Y + m.vy*step/1000})
}

// away is a spot as far to the side as it needs not to skate through others.
func away(to Spot, m *mover, all []mover) Spot {
	for i := range all {
		other := &all[i]
		if d := distance(m.Spot, other.Spot); other.Number != m.Number || other.Side != m.Side {
			if d > 0 && d < 280 {
				to.X += (m.X - other.X) * (330 - d) / d
				to.Y += (m.Y - other.Y) * (330 - d) / d
			}
		}
	}
	return to
}

// ice is everybody on the ice while a stretch is drawn.
type ice struct {
	*picture
	film    film
	movers  []mover
	puck    Spot
	referee mover
	left    entry.Side
}

// take takes a picture at an instant of the script.
func (c *ice) take(at entry.Millis) {
	f := Frame{Real: at, Puck: c.puck, Referee: c.referee.Spot, Players: make([]Skater, 0, len(c.movers))}
	for i := range c.movers {
		f.Players = append(f.Players, c.movers[i].Skater)
	}
	c.film.take(f)
}

func (c *ice) find(side entry.Side, j entry.Jersey) int {
	return slices.IndexFunc(c.movers, func(m mover) bool { return m.Side == side && m.Number == j })
}

// skatersOf counts the skaters of a side on the ice.
func (c *ice) skatersOf(side entry.Side) (n int) {
	for i := range c.movers {
		if c.movers[i].Side == side && !c.movers[i].Goalkeeper {
			n++
		}
	}
	return n
}

// nearest is the skater nearest to a spot; of a side, or of any where it is empty.
func (c *ice) nearest(to Spot, side entry.Side, but int) int {
	found := -1
	for i := range c.movers {
		m := &c.movers[i]
		if i == but || m.Goalkeeper || m.leaves || side != "" && m.Side != side {
			continue
		}
		if found < 0 || distance(m.Spot, to) < distance(c.movers[found].Spot, to) {
			found = i
		}
	}
	return found
}
