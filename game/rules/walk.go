package rules

import (
	"slices"

	"whistlestop/game/entry"
)

// seated is when a player was last seen going into the box, or out of it.
type seated struct {
	abs entry.Millis
	in  bool
}

// walk follows the entries in the order in which they were posted: teams,
// stages, clocks, answers.
func (f *folding) walk() {
	if f.ledger == nil {
		f.ledger = settle(f.posted.from(f.first), f.first, f.before.made)
	}
	s := &f.state
	for i := range f.ledger {
		e := &f.ledger[i]
		f.spelling.rewrite(e)
		f.sealed = f.sealed && e.row.Beside
		if !e.struck {
			f.list(e)
			f.step(e)
		}
		f.count, s.Seq = f.count+1, e.Seq
		if f.grows && f.count%pointEvery == 0 {
			f.point(e)
		}
	}
	f.head(&f.ledger[len(f.ledger)-1])
	f.box = &box{code: f.code, division: &s.Division, answers: f.answers}
	for i := range s.Teams {
		f.box.names[i], f.box.players[i] = s.Teams[i].Name, s.Teams[i].Players
	}
	f.box.axis = newAxis(&s.Division, f.begun)
	s.Periods = f.box.axis
}

// stopAt stops the clock, and notes the whistle in a period.
func (f *folding) stopAt(e *settled, elapsed entry.Millis) {
	s := &f.state
	s.Clock.Running, s.Clock.Elapsed, s.Clock.Wall, s.Clock.Doubt = false, elapsed, e.Wall, nil
	if s.Stage.Play() {
		f.stops = append(f.stops, entry.At{Period: periodOf(&s.Division, s.Stage), Elapsed: elapsed})
	}
}

// forgetStopsAfter takes out the whistles of this period that are later than the
// time to which the clock is put back: play has not got there. Where the clock
// stands, the whistle is there.
func (f *folding) forgetStopsAfter(elapsed entry.Millis) {
	if !f.state.Stage.Play() {
		return
	}
	period := periodOf(&f.state.Division, f.state.Stage)
	before := len(f.stops)
	f.stops = slices.DeleteFunc(f.stops, func(at entry.At) bool {
		return at.Period == period && at.Elapsed > elapsed
	})
	if len(f.stops) < before && !f.state.Clock.Running {
		f.stops = append(f.stops, entry.At{Period: period, Elapsed: elapsed})
	}
}

// moveWhistle puts the newest whistle where it really was, with the goals and
// calls that were entered at it.
func (f *folding) moveWhistle(from, to entry.Millis) {
	period := periodOf(&f.state.Division, f.state.Stage)
	old := entry.At{Period: period, Elapsed: from}
	if n := len(f.stops); n > 0 && f.stops[n-1] == old {
		f.stops = f.stops[:n-1]
	}
	f.stops = append(f.stops, entry.At{Period: period, Elapsed: to})
	f.plays = slices.Clone(f.plays) // another fold goes on from how they were
	for i := len(f.plays) - 1; i >= 0 && f.plays[i].place > f.started; i-- {
		p := &f.plays[i]
		if p.at.Period == period && p.at.Elapsed == from {
			p.at.Elapsed = to
			if p.place >= f.first {
				moved := &f.ledger[p.place-f.first]
				moved.at = &entry.At{Period: period, Elapsed: to, Order: moved.at.Order}
			}
		}
	}
}

// roughly returns a moment on the axis by the division's lengths; it is only
// compared with moments of the same period.
func (f *folding) roughly(at entry.At) entry.Millis {
	return newAxis(&f.state.Division, f.begun).abs(at)
}
