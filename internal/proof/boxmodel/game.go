package boxmodel

import (
	"fmt"
	"slices"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
)

// Period is a period of a game.
type Period struct {
	Seconds int
	Skaters int // of a side at full strength
}

// Whistle is a stoppage, at a whole second of a period.
type Whistle struct {
	Period, Second int // the period counts from 1
	Goals          []entry.Goal
	Calls          []entry.Penalty

	after bool // calls of the whistle before belong to this one
}

// Game is what happens in a game.
type Game struct {
	Code       *rulebook.Code
	Lengths    rulebook.Lengths
	Regulation int // periods before overtime
	Periods    []Period
	Whistles   []Whistle // in the order of the game
}

// Played is what a game comes to.
type Played struct {
	// Compared is false where a captain has had to choose: the model knows no
	// choice, and what it says from there on means nothing.
	Compared bool
	// Skaters are those on the ice, home and visitors, at each second of each
	// period before its last.
	Skaters [][][2]int
	// Leaves are the seconds of the game at which a player left the box, by 0 or 1
	// for the side and the number.
	Leaves map[string][]int
	End    int // seconds of the whole game
}

// Play plays the game.
func (g Game) Play() Played {
	m := newModel(g.Code)
	m.strength = g.Periods[0].Skaters
	lengths := map[entry.Part]int{}
	for part, length := range map[entry.Part]entry.Millis{
		entry.Minor: g.Lengths.Minor, entry.BenchMinor: g.Lengths.BenchMinor, entry.Major: g.Lengths.Major,
		entry.Match: g.Lengths.Match, entry.Misconduct: g.Lengths.Misconduct,
	} {
		lengths[part] = int(length / 1000)
	}
	g.Whistles = g.acrossBreaks()
	out := Played{Leaves: m.leaves, Skaters: make([][][2]int, len(g.Periods))}
	next, now := 0, 0
	for i, period := range g.Periods {
		m.full = period.Skaters
		m.whistle(now)
		m.level()
		for second := 0; second <= period.Seconds; second++ {
			if second > 0 {
				now++
				m.tick(now)
			}
			if m.chosen {
				return out
			}
			if next < len(g.Whistles) && g.Whistles[next].Period == i+1 && g.Whistles[next].Second == second {
				if !m.stop(g, g.Whistles[next], lengths, now) {
					return out
				}
				next++
			}
			if second < period.Seconds {
				out.Skaters[i] = append(out.Skaters[i], m.onIce)
			}
		}
	}
	out.Compared, out.End = true, now
	return out
}

// acrossBreaks moves calls from the end of a period to the next one's start where
// calls were made there as well: no puck was dropped between them.
func (g Game) acrossBreaks() []Whistle {
	list := slices.Clone(g.Whistles)
	for i := 1; i < len(list); i++ {
		last, next := &list[i-1], &list[i]
		atEnd := last.Second == g.Periods[last.Period-1].Seconds
		if atEnd && next.Period == last.Period+1 && next.Second == 0 &&
			len(last.Calls) > 0 && len(next.Calls) > 0 && len(next.Goals) == 0 {
			next.Calls, next.after = slices.Concat(last.Calls, next.Calls), true
			last.Calls = nil
		}
	}
	return list
}

// stop plays one whistle. It reports whether the game can be compared further: no
// captain had to choose.
func (m *model) stop(g Game, w Whistle, lengths map[entry.Part]int, now int) bool {
	wiped := m.wiped
	if !w.after {
		wiped = [2]bool{}
	}
	var served [2]bool // a penalty shot that was signalled is its minor
	for _, goal := range w.Goals {
		side := goal.Side.Index()
		wasShort := m.onIce[side] < m.onIce[1-side]
		signalled := slices.ContainsFunc(w.Calls, func(p entry.Penalty) bool {
			return p.Side != goal.Side && p.Signalled && slices.ContainsFunc(p.Parts, entry.Part.IsMinor)
		})
		ended, choice := m.goal(side, now, signalled)
		if choice {
			return false
		}
		wiped[1-side] = !ended && !(m.counts && wasShort)
		served[1-side] = ended && m.shot
	}
	m.wiped = wiped
	m.whistle(now)
	var list []modelCall
	for i, p := range w.Calls {
		call := modelCall{side: p.Side.Index(), player: string(p.Player), parts: p.Parts, signalled: p.Signalled}
		if p.Bench {
			call.player = fmt.Sprintf("bench %d-%d-%d", w.Period, w.Second, i)
		}
		for i, part := range p.Parts {
			if part == entry.PenaltyShot && p.Signalled && served[call.side] {
				part = entry.Minor
				call.parts = slices.Clone(call.parts)
				call.parts[i] = part
			}
			call.lengths = append(call.lengths, lengths[part])
		}
		list = append(list, call)
	}
	last := g.Periods[g.Regulation-1].Seconds
	late := m.late > 0 && (w.Period > g.Regulation || w.Period == g.Regulation && w.Second >= last-m.late)
	if m.calls(list, wiped, late) {
		return false
	}
	m.level()
	return true
}
