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
		f.sealed = f.sealed && !changesReport(e.Kind())
		if !e.struck {
			f.list(e)
			f.step(e)
		}
		f.count, s.Seq = f.count+1, e.Seq
		if f.count%pointEvery == 0 {
			f.point(e)
		}
	}
	f.head(&f.ledger[len(f.ledger)-1])
	f.box = &box{code: f.code, division: s.Division, answers: f.answers}
	for i := range s.Teams {
		f.box.names[i], f.box.players[i] = s.Teams[i].Name, s.Teams[i].Players
	}
	f.box.axis = newAxis(s.Division, f.begun)
	s.Periods = f.box.axis
}

// step takes one entry in.
func (f *folding) step(e *settled) {
	s := &f.state
	switch b := e.body.(type) {
	case entry.RosterSet:
		t := &s.Teams[b.Side.Index()]
		t.Name, t.Players, t.Staff = b.Team.Name, list(b.Team.Players), list(b.Team.Staff)
	case entry.StageBegun:
		s.Stage, s.TimeOut, s.Delay = b.Stage, nil, nil
		f.started, f.length = f.count, b.Length
		s.Clock = Clock{Running: b.Running && b.Length > 0, Wall: e.Wall, Length: b.Length}
		if b.Stage.Play() {
			f.begun[periodOf(s.Division, b.Stage)] = b
		} else {
			clear(f.later) // a quiet moment: what is owed is asked for again
		}
	case entry.ClockStarted:
		s.Clock.Running, s.Clock.Doubt, s.TimeOut, s.Delay = true, nil, nil, nil
		f.started = f.count
		s.Clock.Elapsed, s.Clock.Wall, s.Clock.Error = b.Elapsed, e.Wall, b.Error
	case entry.ClockStopped:
		f.stopAt(e, b.Elapsed)
		s.Clock.Error = b.Error
	case entry.ClockSet:
		if b.Moves && s.Stage.Play() && !s.Clock.Running {
			f.moveWhistle(s.Clock.Elapsed, b.Elapsed)
		}
		f.forgetStopsAfter(b.Elapsed)
		s.Clock.Elapsed, s.Clock.Wall, s.Clock.Error, s.Clock.Doubt = b.Elapsed, e.Wall, 0, nil
	case entry.ClockDoubted:
		// No whistle: nobody who waits for one may go.
		s.Clock.Running, s.Clock.Elapsed, s.Clock.Wall = false, b.Elapsed, e.Wall
		s.Clock.Doubt = &Doubt{
			Entry: e.ID, From: e.Wall, Asleep: b.Asleep,
			Why: b.Why, Step: b.Step, Kept: b.Kept, Found: b.Found, Readings: b.Readings,
		}
	case entry.BoardRead:
		drift := s.Clock.At(e.Wall) - b.Elapsed
		if s.Bench.Clock == entry.Beside {
			s.Bench.Drift = &drift
			if !s.Clock.Running {
				f.moveWhistle(s.Clock.Elapsed, b.Elapsed)
			}
		}
		f.stopAt(e, b.Elapsed)
		s.Clock.Error = 0
	case entry.TimeOut:
		s.TimeOut = &TimeOutClock{Side: b.Side, Wall: e.Wall, Length: b.Length}
		if b.Side.Valid() {
			s.Teams[b.Side.Index()].TimeOuts++
		}
	case entry.Delay:
		s.Delay = &DelayClock{Why: b.Why, Wall: e.Wall, Length: b.Length}
	case entry.DelayOver:
		s.Delay, s.TimeOut = nil, nil
	case entry.RunningTime:
		s.Bench.RunningTime = b.On
	case entry.BenchSet:
		s.Bench.Clock, s.Bench.ConfirmBox, s.Bench.WaitForTicks = b.Clock, b.ConfirmBox, b.WaitForTicks
		s.Bench.Names, s.Bench.OnIce, s.Bench.FaceOffs = b.Names, b.OnIce, b.FaceOffs
		s.Bench.SlotEnd = b.SlotEnd
	case entry.Goalkeeper:
		t := &s.Teams[b.Side.Index()]
		t.Goalkeeper, t.NetEmpty = b.Number, b.Number == ""
		if b.Number != "" {
			f.kept[b.Side.Index()] = b.Number
		}
	case entry.Seated:
		// The axis is not laid out yet; the moment is worked out from At later.
		f.seen[string(b.Side)+"/"+string(b.Player)] = seated{abs: f.roughly(e.at), in: b.In}
	case entry.Choice:
		f.answers[b.Question] = b.Picks
	case entry.SetAside:
		f.aside[b.Item], f.later[b.Item] = true, true
	case entry.Goal, entry.Amended:
		f.hear(e)
	case entry.CardSet:
		f.card = len(b.Card) > 0 && string(b.Card) != "null"
	case entry.Sealed:
		f.sealed = true
	case entry.GameOpened, entry.Penalty, entry.Note, entry.Struck, entry.Ticked, entry.Shots, entry.FaceOff, entry.Attempt, entry.Announced,
		entry.RosterConfirmed, entry.CrewSet, entry.Signed, entry.Withdrawn:
		// goals and calls are played in the order of the game, the book is kept later;
		// the rest says nothing here
	}
}

// stopAt stops the clock, and notes the whistle in a period.
func (f *folding) stopAt(e *settled, elapsed entry.Millis) {
	s := &f.state
	s.Clock.Running, s.Clock.Elapsed, s.Clock.Wall, s.Clock.Doubt = false, elapsed, e.Wall, nil
	if s.Stage.Play() {
		f.stops = append(f.stops, entry.At{Period: periodOf(s.Division, s.Stage), Elapsed: elapsed})
	}
}

// forgetStopsAfter takes out the whistles of this period that are later than the
// time to which the clock is put back: play has not got there. Where the clock
// stands, the whistle is there.
func (f *folding) forgetStopsAfter(elapsed entry.Millis) {
	if !f.state.Stage.Play() {
		return
	}
	period := periodOf(f.state.Division, f.state.Stage)
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
	period := periodOf(f.state.Division, f.state.Stage)
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
				f.ledger[p.place-f.first].at.Elapsed = to
			}
		}
	}
}

// roughly returns a moment on the axis by the division's lengths; it is only
// compared with moments of the same period.
func (f *folding) roughly(at entry.At) entry.Millis {
	return newAxis(f.state.Division, f.begun).abs(at)
}
