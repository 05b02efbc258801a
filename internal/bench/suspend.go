package bench

import (
	"context"
	"sync"
	"time"

	"whistlestop/game/entry"
)

const (
	// lookEvery is how often the bench asks whether the computer slept.
	lookEvery = time.Second
	// sleptLeast is the shortest sleep that counts, in milliseconds. What is
	// shorter may be the difference of two readings.
	sleptLeast entry.Millis = 500
	// asleepMost is the longest sleep that an entry tells of.
	asleepMost entry.Millis = 24 * 3600_000
)

// slept is one sleep of the computer.
type slept struct {
	from entry.Millis // the bench's time at the last look before it
	long entry.Millis
}

// sleeps are the sleeps since the start of the program. A computer that sleeps
// does not know how long the game went on: people do.
type sleeps struct {
	mutex   sync.Mutex
	asleep  func() entry.Millis // nil: nobody can tell
	counted entry.Millis        // of what asleep returns, what is in all already
	looked  entry.Millis
	all     []slept
	woke    chan struct{} // holds one when games have to be told
}

// MindSleep lets the bench doubt every clock that runs while the computer
// sleeps. asleep returns how long the computer has slept in all, counted from
// any moment, in milliseconds. It is called once, before games are opened.
func (b *Bench) MindSleep(asleep func() entry.Millis) {
	b.sleeps.mutex.Lock()
	b.sleeps.asleep, b.sleeps.counted, b.sleeps.looked = asleep, asleep(), b.awake()
	woke := make(chan struct{}, 1)
	b.sleeps.woke = woke
	b.sleeps.mutex.Unlock()
	b.group.Go(func() {
		var look <-chan time.Time // nil: all clocks stand, and whoever asks for the time looks
		for {
			runs := b.Runs()
			if look != nil {
				runs = nil
			}
			select {
			case <-runs:
				look = time.After(lookEvery)
			case <-look:
				b.look()
				look = nil
			case <-woke:
				b.wake()
			case <-b.stop:
				return
			}
		}
	})
}

// look returns the sleeps up to now. The bench's time goes on by what was slept
// through, so that it agrees with the time of day and with phones that were
// awake.
func (b *Bench) look() []slept {
	s := &b.sleeps
	s.mutex.Lock()
	defer s.mutex.Unlock()
	if s.asleep == nil {
		return nil
	}
	total := s.asleep()
	if long := total - s.counted; long >= sleptLeast {
		s.counted = total
		s.all = append(s.all, slept{from: s.looked, long: long})
		b.ahead.Add(int64(long))
		b.logger.Warn("the computer slept", "for_ms", long)
		select {
		case s.woke <- struct{}{}:
		default:
		}
	}
	s.looked = b.awake()
	return s.all
}

// wake lets every live game see that the computer slept.
func (b *Bench) wake() {
	b.mutex.Lock()
	all := make([]*game, 0, len(b.games))
	for _, g := range b.games {
		all = append(all, g)
	}
	b.mutex.Unlock()
	for _, g := range all {
		// A game that cannot be loaded now sees it when it is.
		_, _ = ask(context.Background(), g, func() (struct{}, error) {
			if !g.loaded && g.place != nil && !g.running.Load() {
				return struct{}{}, nil // it was put back, and its clock stands
			}
			return struct{}{}, g.ready()
		})
	}
}

// doubt posts that the time of a clock is not known, if the computer slept while
// it ran. It comes before everything else that the clock would bring about: a
// horn that nobody heard ends nothing.
func (g *game) doubt() error {
	all := g.bench.look()
	for ; g.slept < len(all); g.slept++ {
		s, state := all[g.slept], g.update.State
		if !state.Clock.Running || state.Clock.Wall > s.from {
			continue
		}
		body := entry.ClockDoubted{
			Elapsed: state.Clock.At(s.from), Asleep: min(s.long, asleepMost),
			Readings: []entry.ClockReading{
				{By: entry.LastKnown, Elapsed: state.Clock.At(s.from)},
				{By: entry.Counted, Elapsed: state.Clock.At(s.from + s.long)},
			},
		}
		if err := g.keep([]entry.Entry{g.doubted(state, len(g.ledger)+1, s.from, body)}); err != nil {
			return err
		}
	}
	return nil
}
