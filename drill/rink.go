package drill

import (
	"slices"

	"whistlestop/entry"
)

// The rink from above, in centimetres: about 61 by 26 metres, the origin in a
// corner, home's goal on the left in odd periods.
const (
	RinkLength = 6100
	RinkWidth  = 2600
	goalLine   = 400 // from the end of the rink
	edge       = 60  // nobody and no puck gets nearer to the boards
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
// the marks in straight lines.
type Frame struct {
	Real    entry.Millis `json:"real_ms"` // since the script's start, like a cue's
	Puck    Spot         `json:"puck"`
	Referee Spot         `json:"referee"`
	Players []Skater     `json:"players"`
}

// frameEvery is the distance between two frames of play.
const frameEvery = 1_500

// Frames draws the stretch of a script from a cue to the next drop or whistle:
// the play that a drop begins, or the stoppage that a whistle begins. It returns
// nothing for a cue that begins neither. The same script gives the same picture.
func (s Script) Frames(cue int) []Frame {
	if cue < 0 || cue >= len(s.Cues) {
		return nil
	}
	from := s.Cues[cue]
	begins := from.Kind == CueDrop || from.Kind == CueWhistle || from.Kind == CueRunsOut || cue == 0
	if !begins {
		return nil
	}
	end := cue + 1
	for end < len(s.Cues)-1 && s.Cues[end].Kind != CueDrop && s.Cues[end].Kind != CueWhistle && s.Cues[end].Kind != CueRunsOut {
		end++
	}
	end = min(end, len(s.Cues)-1)
	p := &picture{script: s, luck: roll(s.Seed, "rink"+string(rune('0'+cue%64))+string(rune('0'+cue/64))), left: entry.Home}
	if from.At.Period%2 == 0 {
		p.left = entry.Visitors
	}
	for i := range s.Moments {
		if s.Moments[i].From <= cue {
			p.moment = s.Moments[i]
		}
	}
	if from.Kind == CueDrop {
		return p.play(from.Real, s.Cues[end].Real, end)
	}
	return p.stoppage(cue, end)
}

type picture struct {
	script Script
	luck   *dice
	left   entry.Side // whose goal is on the left
	moment Moment
}

// on lists who is on the ice: those who are about to do something first, then the
// roster in turn, as many as the penalties leave. Whoever sits in the box is not.
func (p *picture) on(side entry.Side, first []entry.Jersey) []Skater {
	team := p.script.Home
	if side == entry.Visitors {
		team = p.script.Visitors
	}
	n := p.moment.Right.Skaters[side.Index()]
	if n == 0 {
		n = p.script.Division.Skaters
	}
	in := func(j entry.Jersey) bool {
		return slices.ContainsFunc(p.moment.Right.Box, func(b Boxed) bool { return b.Side == side && (b.Sits == j || b.Player == j) })
	}
	out := []Skater{}
	add := func(j entry.Jersey, keeps bool) {
		if !slices.ContainsFunc(out, func(s Skater) bool { return s.Number == j }) {
			out = append(out, Skater{Side: side, Number: j, Goalkeeper: keeps})
		}
	}
	for _, player := range team.Players {
		if player.Goalkeeper && len(out) == 0 {
			add(player.Number, true)
		}
	}
	keepers := len(out)
	for _, j := range first {
		if len(out) < n+keepers && !in(j) {
			add(j, false)
		}
	}
	turn := p.luck.below(max(1, len(team.Players)))
	for i := range team.Players {
		player := team.Players[(i+turn)%len(team.Players)]
		if len(out) < n+keepers && !player.Goalkeeper && !in(player.Number) {
			add(player.Number, false)
		}
	}
	return out
}

// named lists who does something at the stoppage that begins with a cue.
func (p *picture) named(cue int, side entry.Side) (list []entry.Jersey) {
	for _, a := range p.script.Answers {
		if a.Cue < cue || p.script.Cues[max(0, a.Cue)].At.Period != p.script.Cues[cue].At.Period ||
			a.Cue >= 0 && slices.ContainsFunc(p.script.Cues[cue:a.Cue+1], func(c Cue) bool { return c.Kind == CueDrop }) {
			continue
		}
		switch body := a.Entry.Body.(type) {
		case entry.Goal:
			if body.Side == side {
				list = append(append(list, body.Scorer), body.Assists...)
			}
		case entry.Penalty:
			if body.Side == side && body.Player != "" {
				list = append(list, body.Player)
			}
		}
	}
	return list
}

// play moves the puck about from a face-off to where the whistle goes.
func (p *picture) play(from, to entry.Millis, whistle int) []Frame {
	players := append(p.on(entry.Home, p.named(whistle, entry.Home)), p.on(entry.Visitors, p.named(whistle, entry.Visitors))...)
	goal, scored := p.scored(whistle)
	puck := p.faceOff()
	var frames []Frame
	for at := from; ; at += frameEvery {
		last := at >= to
		if last {
			at = to
		}
		switch left := to - at; {
		case at == from:
		case scored && last:
			puck = goal
		case scored && left < 3*frameEvery:
			puck = Spot{(puck.X + goal.X) / 2, (puck.Y + goal.Y) / 2}
		default:
			puck = bound(Spot{puck.X + p.luck.between(-1100, 1100), puck.Y + p.luck.between(-700, 700)})
		}
		frames = append(frames, Frame{Real: at, Puck: puck, Players: p.around(players, puck, at == from)})
		if last {
			return frames
		}
	}
}

// scored returns the goal into which the puck goes, if it does.
func (p *picture) scored(whistle int) (Spot, bool) {
	for _, c := range p.script.Cues[whistle:] {
		switch {
		case c.Kind == CueDrop:
			return Spot{}, false
		case c.Kind == CueSignal && c.Signal == "goal":
			return p.goalOf(c.Side.Other()), true
		}
	}
	return Spot{}, false
}

// goalOf is where a side's goal stands.
func (p *picture) goalOf(side entry.Side) Spot {
	if side == p.left {
		return Spot{goalLine, RinkWidth / 2}
	}
	return Spot{RinkLength - goalLine, RinkWidth / 2}
}

// faceOff is where the puck is dropped: in the middle after a goal and at the
// start of a period, otherwise at one of the other eight spots.
func (p *picture) faceOff() Spot {
	if p.moment.At.Elapsed == 0 {
		return Spot{RinkLength / 2, RinkWidth / 2}
	}
	for _, c := range p.script.Cues[p.moment.From : p.moment.To+1] {
		if c.Kind == CueSignal && c.Signal == "goal" {
			return Spot{RinkLength / 2, RinkWidth / 2}
		}
	}
	x := pick(p.luck, []int{1010, 2440, RinkLength - 2440, RinkLength - 1010})
	return Spot{x, pick(p.luck, []int{630, RinkWidth - 630})}
}

// around places the players about the puck: the goalkeepers in their goals, the
// others nearer to their own goal than the puck is, never over the boards.
func (p *picture) around(players []Skater, puck Spot, faceOff bool) []Skater {
	out := slices.Clone(players)
	n := [2]int{}
	for i := range out {
		s := &out[i]
		own, way := p.goalOf(s.Side), 1
		if s.Side != p.left {
			way = -1
		}
		if s.Goalkeeper {
			s.Spot = bound(Spot{own.X + way*120, own.Y + (puck.Y-own.Y)/8})
			continue
		}
		k := n[s.Side.Index()]
		n[s.Side.Index()]++
		spread := []Spot{{-80, 0}, {-120, 500}, {-120, -500}, {-700, 300}, {-700, -300}, {-400, 0}}[k%6]
		jitter := Spot{p.luck.between(-150, 150), p.luck.between(-150, 150)}
		if faceOff {
			jitter = Spot{}
		}
		s.Spot = bound(Spot{puck.X + way*spread.X + jitter.X, puck.Y + spread.Y + jitter.Y})
	}
	return out
}

// stoppage lets everybody glide from where the whistle went to the next face-off.
func (p *picture) stoppage(cue, end int) []Frame {
	players := append(p.on(entry.Home, nil), p.on(entry.Visitors, nil)...)
	puck := p.faceOff()
	first := Frame{Real: p.script.Cues[cue].Real, Puck: puck, Players: p.around(players, puck, false)}
	last := Frame{Real: p.script.Cues[end].Real, Puck: puck, Players: p.around(players, puck, true)}
	if last.Real <= first.Real {
		return []Frame{last}
	}
	return []Frame{first, last}
}

func bound(s Spot) Spot {
	return Spot{min(max(s.X, edge), RinkLength-edge), min(max(s.Y, edge), RinkWidth-edge)}
}
