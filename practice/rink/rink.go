package rink

import (
	"math"
	"slices"
	"strconv"

	"whistlestop/game/dice"
	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/practice/script"
)

// The rink from above, in centimetres: about 61 by 26 metres, the origin in a
// corner. Home's goal is on the left in odd periods. The boxes and the bench of
// the crew lie along the lower boards, the benches of the players along the upper.
const (
	RinkLength = 6100
	RinkWidth  = 2600
	goalLine   = 400  // from the end of the rink
	blueLine   = 2286 // from the end of the rink
	corner     = 700  // how far a corner of the boards is rounded
	edge       = 60   // nobody and no puck gets nearer to the boards
)

// Spot is a place on the rink in centimetres.
type Spot struct {
	X int `json:"x"`
	Y int `json:"y"`
}

// Skater is a mark on the rink.
type Skater struct {
	Side       entry.Side   `json:"side"`
	Number     entry.Jersey `json:"number"`
	Goalkeeper bool         `json:"goalkeeper,omitempty"`
	Spot
}

// Frame is where everybody is at an instant. Between two frames a screen moves
// the marks along a line. Whoever is in one frame and not in the next has gone
// to the bench or into the box.
type Frame struct {
	Real    entry.Millis `json:"real_ms"` // since the script's start, like a cue's
	Puck    Spot         `json:"puck"`
	Referee Spot         `json:"referee"`
	Players []Skater     `json:"players"`
}

// Frames draws the stretch of a script from a cue to the next drop or whistle:
// the play that a drop begins, or the stoppage that a whistle begins. It returns
// nothing for a cue that begins neither. The same script gives the same picture.
func Frames(s script.Script, cue int) []Frame {
	if cue < 0 || cue >= len(s.Cues) || cue > 0 && !begins(s.Cues[cue].Kind) {
		return nil
	}
	state, err := s.State()
	if err != nil {
		return nil // of a script that Direct did not make
	}
	p := &picture{script: s, state: state}
	if s.Cues[cue].Kind == script.CueDrop {
		return p.play(cue).film.frames
	}
	return p.stoppage(cue).film.frames
}

// begins reports whether play or a stoppage begins with such a cue.
func begins(k script.CueKind) bool {
	return k == script.CueDrop || k == script.CueWhistle || k == script.CueRunsOut
}

type picture struct {
	script script.Script
	state  rules.State
}

// until returns the cue with which the stretch that begins with a cue is over.
func (p *picture) until(cue int) int {
	end := cue + 1
	for end < len(p.script.Cues)-1 && !begins(p.script.Cues[end].Kind) {
		end++
	}
	return min(end, len(p.script.Cues)-1)
}

// luck returns dice for a purpose at a cue.
func (p *picture) luck(purpose string, cue int) *dice.Luck {
	return dice.Roll(p.script.Seed, "rink "+purpose+" "+strconv.Itoa(cue))
}

// left is the side whose goal is on the left in a period.
func left(period int) entry.Side {
	if period%2 == 0 {
		return entry.Visitors
	}
	return entry.Home
}

// way is the direction in which a side attacks: 1 to the right, -1 to the left.
func way(side, left entry.Side) int {
	if side == left {
		return 1
	}
	return -1
}

// goalOf is where a side's goal stands.
func goalOf(side, left entry.Side) Spot {
	if side == left {
		return Spot{goalLine, RinkWidth / 2}
	}
	return Spot{RinkLength - goalLine, RinkWidth / 2}
}

// gateOf is where the door of a side's box is, on the ice; benchOf that of its
// bench. Teams do not change them with their ends.
func gateOf(side entry.Side) Spot {
	if side == entry.Home {
		return Spot{1400, RinkWidth - edge}
	}
	return Spot{RinkLength - 1400, RinkWidth - edge}
}

func benchOf(side entry.Side) Spot {
	if side == entry.Home {
		return Spot{2200, edge}
	}
	return Spot{RinkLength - 2200, edge}
}

// crewBench is where the referee stands who talks to the bench.
var crewBench = Spot{RinkLength / 2, RinkWidth - edge - 90}

// bound keeps a spot within the boards, which are round in the corners.
func bound(s Spot) Spot {
	s = Spot{min(max(s.X, edge), RinkLength-edge), min(max(s.Y, edge), RinkWidth-edge)}
	middle := Spot{min(max(s.X, corner), RinkLength-corner), min(max(s.Y, corner), RinkWidth-corner)}
	if s.X == middle.X || s.Y == middle.Y {
		return s
	}
	if far := distance(s, middle); far > corner-edge {
		return toward(middle, s, corner-edge)
	}
	return s
}

// distance is how far two spots are apart, in centimetres, rounded down. The
// root of a whole number is the same on every machine; sums of products of
// fractions would not be.
func distance(a, b Spot) int {
	return root((a.X-b.X)*(a.X-b.X) + (a.Y-b.Y)*(a.Y-b.Y))
}

func root(n int) int { return int(math.Sqrt(float64(n))) }

// toward is so many centimetres from one spot on the way to another, or the other
// where it is nearer.
func toward(from, to Spot, far int) Spot {
	d := distance(from, to)
	if d <= far || d == 0 {
		return to
	}
	return Spot{from.X + (to.X-from.X)*far/d, from.Y + (to.Y-from.Y)*far/d}
}

// film collects the frames of a stretch.
type film struct {
	frames []Frame
	held   *Frame // like the one before it
}

// frameEvery is the time between two frames in which somebody moves.
const frameEvery = 500

// take adds a frame. While nobody moves only the first and the last are kept.
func (f *film) take(one Frame) {
	n := len(f.frames)
	if n > 0 && one.Puck == f.frames[n-1].Puck && one.Referee == f.frames[n-1].Referee && slices.Equal(one.Players, f.frames[n-1].Players) {
		f.held = &one
		return
	}
	f.flush()
	f.frames = append(f.frames, one)
}

func (f *film) flush() {
	if f.held != nil {
		f.frames = append(f.frames, *f.held)
		f.held = nil
	}
}
