package bench

import (
	"sync/atomic"
	"testing"
	"time"

	"whistlestop/game/entry"
)

// laptop is a computer that can be put to sleep. Its clock stands still then.
type laptop struct {
	Clock
	asleep atomic.Int64 // milliseconds in all
}

func (l *laptop) sleep(long time.Duration) { l.asleep.Add(long.Milliseconds()) }

func (l *laptop) slept() entry.Millis { return entry.Millis(l.asleep.Load()) }

// onLaptop runs a test with a clock that has run for 3:20 of a period with a
// penalty, on a computer that can sleep.
func onLaptop(t *testing.T, run func(t *testing.T, tb *table, l *laptop)) {
	t.Helper()
	inBubble(t, func(t *testing.T, tb *table) {
		l := &laptop{Clock: SteadyClock()}
		tb.clock = l
		tb.restart()
		tb.bench.MindSleep(l.slept)
		tb.post(period(1, 15))
		tb.post(entry.ClockStarted{})
		time.Sleep(2*time.Minute + 500*time.Millisecond)
		tb.post(entry.ClockStopped{})
		tb.post(entry.Penalty{Side: entry.Home, Player: "7", Call: "tripping", Parts: []entry.Part{entry.Minor}})
		tb.post(entry.ClockStarted{})
		time.Sleep(80 * time.Second)
		run(t, tb, l)
	})
}

// T2: for whatever time the computer sleeps, the clock stands at the last time
// that is known, nobody leaves the box, and HOLD says so until somebody says the
// time.
func TestSleepPutsTheClockInDoubt(t *testing.T) {
	for _, long := range []time.Duration{time.Second, 40 * time.Second, 30 * time.Minute} {
		onLaptop(t, func(t *testing.T, tb *table, l *laptop) {
			entries := len(tb.ledger())
			before := tb.bench.Now()
			l.sleep(long)
			time.Sleep(1100 * time.Millisecond) // nobody touches anything
			s := tb.state()
			if s.Clock.Running || s.Clock.Doubt == nil || s.Clock.Doubt.Asleep != entry.Millis(long.Milliseconds()) {
				t.Fatalf("after %v the clock is %+v", long, s.Clock)
			}
			const shown = 200_500 // 2:00.5 and 1:20
			if got := s.Clock.Elapsed; got < shown-1000 || got > shown {
				t.Errorf("the clock stands at %s, want within the second before %s", got, entry.Millis(shown))
			}
			if len(s.Hold) == 0 || s.Hold[0].Say.Key != "hold.doubt" {
				t.Errorf("HOLD says %+v", s.Hold)
			}
			if ledger := tb.ledger(); len(ledger) != entries+1 || tb.newest().Seat != entry.Program {
				t.Errorf("%d entries were posted", len(ledger)-entries)
			}
			if passed := tb.bench.Now() - before; passed < entry.Millis(long.Milliseconds()) {
				t.Errorf("the bench's time went on by %d ms in %v", passed, long)
			}
			// Time goes by: nobody is let out, no horn, nothing is posted.
			time.Sleep(30 * time.Minute)
			if len(tb.ledger()) != entries+1 || len(tb.state().Releases) == 0 {
				t.Error("somebody was let out of the box")
			}
			// The operator takes what the referee says, and play goes on from there.
			tb.post(entry.ClockSet{Elapsed: entry.Clock(3, 40)})
			if s := tb.state(); s.Clock.Doubt != nil || s.Clock.Elapsed != entry.Clock(3, 40) {
				t.Errorf("the clock is %+v", s.Clock)
			}
			tb.post(entry.ClockStarted{})
			time.Sleep(5 * time.Second)
			if c := tb.post(entry.ClockStopped{}).State.Clock; c.Elapsed != entry.Clock(3, 45) || c.Doubt != nil {
				t.Errorf("the clock is %+v", c)
			}
		})
	}
}

// Whoever watches is told of the doubt, though nobody asks for anything: a screen that
// showed the clock running on would be believed. A sleep of days is told of as one of
// a day, which is all that an entry may say.
func TestWhoWatchesIsToldThatTheComputerSlept(t *testing.T) {
	for long, told := range map[time.Duration]entry.Millis{
		40 * time.Second: 40_000, 24 * time.Hour: 24 * 3600_000, 72 * time.Hour: 24 * 3600_000,
	} {
		onLaptop(t, func(t *testing.T, tb *table, l *laptop) {
			w, err := tb.bench.Watch(t.Context(), gameID)
			if err != nil {
				t.Fatal(err)
			}
			defer w.Close()
			if first := <-w.Updates(); !first.State.Clock.Running {
				t.Fatalf("the clock is %+v", first.State.Clock)
			}
			l.sleep(long)
			select {
			case u := <-w.Updates():
				if c := u.State.Clock; c.Running || c.Doubt == nil || c.Doubt.Asleep != told {
					t.Errorf("after %v the clock is shown as %+v", long, c)
				}
			case <-time.After(time.Minute):
				t.Errorf("after %v nobody was told", long)
			}
		})
	}
}

// A post that comes right after the computer woke meets a doubted clock, not one
// that ran on.
func TestFirstPostAfterASleep(t *testing.T) {
	onLaptop(t, func(t *testing.T, tb *table, l *laptop) {
		l.sleep(20 * time.Minute) // long after the end of the period
		_, err := tb.bench.Post(t.Context(), gameID, []entry.Entry{tb.draft(entry.ClockStopped{})})
		if !isKind(err, Refused) {
			t.Errorf("a stop of a doubted clock: %v", err)
		}
		if c := tb.state().Clock; c.Running || c.Doubt == nil || c.Elapsed >= c.Length {
			t.Errorf("the clock is %+v", c)
		}
	})
}

// A clock that stands has nothing to doubt, and one that is started after the
// sleep neither.
func TestSleepWhileTheClockStands(t *testing.T) {
	onLaptop(t, func(t *testing.T, tb *table, l *laptop) {
		tb.post(entry.ClockStopped{})
		l.sleep(time.Minute)
		time.Sleep(2 * time.Second) // a screen measures the bench's time again
		tb.post(entry.ClockStarted{})
		time.Sleep(3 * time.Second)
		if c := tb.state().Clock; !c.Running || c.Doubt != nil || c.At(tb.bench.Now()) != 203_500 {
			t.Errorf("the clock is %+v and shows %s", c, c.At(tb.bench.Now()))
		}
	})
}

// A game that nobody looked at since the start is doubted when it is opened.
func TestSleepBeforeAGameIsLookedAt(t *testing.T) {
	onLaptop(t, func(t *testing.T, tb *table, l *laptop) {
		tb.restart()
		tb.bench.MindSleep(l.slept)
		time.Sleep(10 * time.Second)
		l.sleep(time.Hour)
		time.Sleep(5 * time.Second)
		if c := tb.state().Clock; c.Running || c.Doubt == nil {
			t.Errorf("the clock is %+v", c)
		}
	})
}

// The system's own reading: this computer does not sleep while the test runs.
func TestAsleepIsRead(t *testing.T) {
	before := Asleep()
	if after := Asleep(); before < 0 || after < before-1 || after-before >= sleptLeast {
		t.Errorf("asleep for %d ms, then %d ms", before, after)
	}
}
