package rink

import (
	"slices"

	"whistlestop/game/entry"
	"whistlestop/practice/script"
)

// pause is a stoppage while it is drawn.
type pause struct {
	ice
	from, to entry.Millis
	next     lineUp
	drops    bool         // play goes on after it
	lines    entry.Millis // when they line up
	anew     bool         // a period begins: everybody was off
	scored   entry.Side
	hero     entry.Jersey
	sits     map[mark]entry.Millis // by when somebody is in the box
	waiting  []Skater              // who comes onto the ice, at the doors
	talks    []entry.Millis        // when the referee speaks to the bench
}

// mark names somebody on the ice.
type mark struct {
	side   entry.Side
	number entry.Jersey
}

// stoppage draws a stretch without play: from where the whistle found everybody
// to the next face-off.
func (p *picture) stoppage(cue int) *pause {
	end := p.until(cue)
	s := &pause{
		ice:  ice{picture: p, puck: Spot{RinkLength / 2, RinkWidth / 2}},
		from: p.script.Cues[cue].Real, to: p.script.Cues[end].Real, sits: map[mark]entry.Millis{},
	}
	s.left = left(p.script.Cues[cue].At.Period)
	s.lines = s.to
	s.read(cue, end)
	if s.drops = p.script.Cues[end].Kind == script.CueDrop; s.drops {
		s.next = p.lineUp(end)
		s.anew = p.script.Cues[end].At.Period != p.script.Cues[cue].At.Period
	}
	s.begin(cue)
	for at := s.from; ; at += step {
		last := at >= s.to
		if last {
			at = s.to
		}
		if last || (at-s.from)%frameEvery == 0 {
			s.take(at)
		}
		if last {
			s.film.flush()
			return s
		}
		s.move(at)
	}
}

// begin puts everybody where play ended, or near the face-off where none was.
func (s *pause) begin(cue int) {
	drop := cue
	for drop > 0 && s.script.Cues[drop].Kind != script.CueDrop {
		drop--
	}
	if s.script.Cues[drop].Kind == script.CueDrop {
		played := s.play(drop)
		s.movers, s.puck, s.referee, s.left = played.movers, played.puck, played.referee, played.left
	} else {
		s.puck = s.next.spot
		s.referee = mover{Skater: Skater{Spot: Spot{RinkLength / 2, RinkWidth / 3}}}
		for _, one := range s.next.players {
			at := one.Spot
			if !one.Goalkeeper {
				own := goalOf(one.Side, s.next.left)
				at = bound(Spot{(at.X*2 + own.X) / 3, (at.Y + RinkWidth/2) / 2})
			}
			one.Spot = at
			s.movers = append(s.movers, mover{Skater: one})
		}
	}
	if !s.drops {
		return
	}
	before := max(0, s.moment(cue)-1)
	for _, one := range s.next.players {
		if s.anew || s.find(one.Side, one.Number) < 0 {
			door := benchOf(one.Side)
			one.Spot = Spot{door.X + (len(s.waiting)%5-2)*180, door.Y} // over the boards, side by side
			if !s.anew && s.inBox(before, one.Side, one.Number) {
				one.Spot = gateOf(one.Side)
			}
			s.waiting = append(s.waiting, one)
		}
	}
}

// read reads from the cues who goes into the box, and when the referee speaks.
func (s *pause) read(cue, end int) {
	for i := cue; i < end; i++ {
		c := s.script.Cues[i]
		switch c.Kind {
		case script.CueWords:
			if c.By == script.ByReferee {
				s.talks = append(s.talks, c.Real)
			}
		case script.CueSits:
			s.sits[mark{c.Side, c.Player}] = c.Real
		case script.CueLineUp:
			s.lines = c.Real
		case script.CueDrop, script.CueArm, script.CueWhistle, script.CueRunsOut, script.CueSignal, script.CueCrowd, script.CueBreakOver, script.CueEnd:
		}
	}
	for _, body := range s.happened(cue) {
		switch body := body.(type) {
		case entry.Goal:
			s.scored, s.hero = body.Side, body.Scorer
		case entry.Penalty:
			who := body.ServedBy
			if who == "" {
				who = body.Player
			}
			at := mark{body.Side, who}
			if _, known := s.sits[at]; !known && who != "" && s.inBox(s.moment(cue), body.Side, who) {
				s.sits[at] = s.from + 6_000
			}
		default: // the other entries say nothing here
		}
	}
}

// move moves everybody by a step.
func (s *pause) move(at entry.Millis) {
	comes := s.from + 4_000
	if s.anew {
		comes = s.to - 12_000
	}
	if at >= comes || at >= s.to-7_000 {
		for _, one := range s.waiting {
			if s.find(one.Side, one.Number) < 0 {
				s.movers = append(s.movers, mover{Skater: one})
			}
		}
		s.waiting = nil
	}
	all := slices.Clone(s.movers)
	for i := range s.movers {
		one := &s.movers[i]
		to, speed := s.wish(one, at)
		if _, stays := s.stays(one); stays && distance(one.Spot, to) > 200 {
			to = away(to, one, all)
		}
		one.head(to, speed, 1_400)
	}
	s.movers = slices.DeleteFunc(s.movers, func(m mover) bool { return s.off(m, at) })
	s.official(at)
	if s.drops && at > s.from+2_500 {
		s.puck = toward(s.puck, s.next.spot, max(carried, s.need(s.puck, s.next.spot, s.to-at, flies))*step/1000)
	}
}

// need is the speed that brings somebody to a spot in time, at most so much.
func (s *pause) need(from, to Spot, left entry.Millis, most int) int {
	return min(most, distance(from, to)*1000/max(step, int(left)-800))
}

// stays returns where somebody lines up, if they do.
func (s *pause) stays(m *mover) (Spot, bool) {
	for _, one := range s.next.players {
		if one.Side == m.Side && one.Number == m.Number {
			return one.Spot, s.drops
		}
	}
	return Spot{}, false
}

// around is where teammates gather about a scorer, by their roles.
var around = [6]Spot{{-260, 0}, {-130, 230}, {-130, -230}, {130, 230}, {130, -230}, {260, 0}}

// wish is where somebody wants to be, and how fast they go there.
func (s *pause) wish(m *mover, at entry.Millis) (Spot, int) {
	line, stays := s.stays(m)
	until, sits := s.sits[mark{m.Side, m.Number}]
	coming := s.anew && len(s.waiting) == 0
	switch {
	case sits && (!stays || at < until):
		return gateOf(m.Side), max(strolls, s.need(m.Spot, gateOf(m.Side), until-at, hurries))
	case at < s.from+1_200:
		return Spot{m.X + m.vx, m.Y + m.vy}, 200 // they glide out
	case s.scored == m.Side && !m.Goalkeeper && at < s.from+5_500 && at < s.to-5_000:
		if i := s.find(m.Side, s.hero); i >= 0 {
			hero, ring := s.movers[i].Spot, around[m.role]
			if m.Number == s.hero {
				return hero, strolls
			}
			return bound(Spot{hero.X + ring.X, hero.Y + ring.Y}), skates
		}
	case s.anew && !coming:
		return benchOf(m.Side), strolls + 100
	case !s.drops:
		return m.Spot, strolls
	case !stays:
		return benchOf(m.Side), strolls + 100
	}
	if at < s.lines && at < s.to-6_000 && !m.Goalkeeper {
		own := goalOf(m.Side, s.next.left) // they wait a little behind their places
		line = bound(Spot{(line.X*4 + own.X) / 5, (line.Y*4 + RinkWidth/2) / 5})
	}
	return line, max(strolls, s.need(m.Spot, line, s.to-at, hurries))
}

// off reports whether somebody has come to the door for which they went.
func (s *pause) off(m mover, at entry.Millis) bool {
	_, stays := s.stays(&m)
	_, sits := s.sits[mark{m.Side, m.Number}]
	switch {
	case sits && !stays:
		return distance(m.Spot, gateOf(m.Side)) < 90
	case s.anew && len(s.waiting) > 0, s.drops && !stays:
		return at > s.from+1_200 && distance(m.Spot, benchOf(m.Side)) < 90
	}
	return false
}

// official lets the referee go to the bench to speak, and to the face-off.
func (s *pause) official(at entry.Millis) {
	spot := bound(Spot{s.next.spot.X, s.next.spot.Y - 260})
	if !s.drops {
		spot = s.referee.Spot
	}
	due := s.to
	for _, t := range s.talks {
		if at < t+2_500 {
			spot, due = crewBench, t
			break
		}
	}
	speed := max(strolls, s.need(s.referee.Spot, spot, due-at, hurries))
	if at < s.from+1_000 {
		speed = 150
	}
	s.referee.head(spot, speed, 1_200)
}
