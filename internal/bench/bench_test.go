package bench

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"go.uber.org/goleak"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
	"whistlestop/internal/store/memory"
)

func TestMain(m *testing.M) { goleak.VerifyTestMain(m) }

const gameID = "01JD0000000000000000000000"

// table is a bench with one open game, as a test sees it.
type table struct {
	t     *testing.T
	bench *Bench
	log   Log
	clock Clock // SteadyClock if nil
	count int
}

// sit opens the invented game on a bench over the log.
func sit(t *testing.T, log Log) *table {
	tb := &table{t: t, log: log}
	tb.start()
	if _, err := tb.bench.Open(t.Context(), opening(t)); err != nil {
		t.Fatal(err)
	}
	return tb
}

func (tb *table) start() {
	clock := tb.clock
	if clock == nil {
		clock = SteadyClock()
	}
	tb.bench = New(tb.log, clock, ULIDs(), slog.New(slog.DiscardHandler))
	tb.t.Cleanup(tb.bench.Close)
}

// restart is what a killed program does: nothing is said, a new bench starts.
func (tb *table) restart() {
	tb.bench.Close()
	tb.start()
}

func opening(t testing.TB) Opening {
	for _, d := range rulebook.Divisions() {
		if d.ID == "harbour-u14" {
			return Opening{
				ID: gameID, Division: d,
				Home:     entry.Team{Name: "Kelp Bay", Players: []entry.Player{{Number: "7"}, {Number: "12"}}},
				Visitors: entry.Team{Name: "Lanternside", Players: []entry.Player{{Number: "4"}, {Number: "9"}}},
			}
		}
	}
	t.Fatal("the division is not there")
	return Opening{}
}

func (tb *table) draft(body entry.Body) entry.Entry {
	tb.count++
	return entry.Entry{
		ID: fmt.Sprintf("01JD%022d", tb.count), Game: gameID, Wall: tb.bench.Now(),
		Seat: entry.Solo, Body: body,
	}
}

func (tb *table) post(bodies ...entry.Body) Reply {
	tb.t.Helper()
	var drafts []entry.Entry
	for _, body := range bodies {
		drafts = append(drafts, tb.draft(body))
	}
	return tb.send(drafts...)
}

func (tb *table) send(drafts ...entry.Entry) Reply {
	tb.t.Helper()
	reply, err := tb.bench.Post(context.Background(), gameID, drafts)
	if err != nil {
		tb.t.Fatalf("post: %v %+v", err, refusals(err))
	}
	return reply
}

func refusals(err error) []rules.Refusal {
	var p *Problem
	if errors.As(err, &p) {
		return p.Refused
	}
	return nil
}

func (tb *table) state() rules.State {
	tb.t.Helper()
	update, err := tb.bench.State(context.Background(), gameID)
	if err != nil {
		tb.t.Fatal(err)
	}
	return update.State
}

func (tb *table) ledger() []entry.Entry {
	tb.t.Helper()
	ledger, err := tb.bench.Ledger(context.Background(), gameID)
	if err != nil {
		tb.t.Fatal(err)
	}
	return ledger
}

func (tb *table) newest() entry.Entry { l := tb.ledger(); return l[len(l)-1] }

func period(n int, minutes int) entry.StageBegun {
	return entry.StageBegun{Stage: entry.Stage{Kind: entry.Period, Number: n}, Length: entry.Clock(minutes, 0)}
}

// inBubble runs a test in which hours pass in no time.
func inBubble(t *testing.T, run func(t *testing.T, tb *table)) {
	t.Helper()
	synctest.Test(t, func(t *testing.T) { run(t, sit(t, memory.New())) })
}

func TestStopTakesTheInstantTouched(t *testing.T) {
	inBubble(t, func(t *testing.T, tb *table) {
		tb.post(period(1, 15))
		tb.post(entry.ClockStarted{})
		time.Sleep(61 * time.Second)
		stop := tb.draft(entry.ClockStopped{Error: 12})
		time.Sleep(900 * time.Millisecond) // the network
		reply := tb.send(stop)
		if c := reply.State.Clock; c.Running || c.Elapsed != 61_000 || c.Error != 12 {
			t.Errorf("the clock is %+v, want stopped at 61 s", c)
		}
		if got := tb.newest(); got.At != (entry.At{Period: 1, Elapsed: 61_000}) || got.Wall != stop.Wall {
			t.Errorf("kept as %+v", got)
		}
		if len(reply.Notes) != 0 {
			t.Errorf("notes %v", reply.Notes)
		}
	})
}

func TestInstantsAreClamped(t *testing.T) {
	for _, test := range []struct {
		name    string
		touched time.Duration // from now, when the post arrives
		elapsed entry.Millis  // of a clock that has run for a minute
		late    entry.Millis  // added to the error
		notes   int
	}{
		{"just now", 0, 60_000, 0, 0},
		{"on the way", -4999 * time.Millisecond, 55_001, 0, 0},
		{"at the bound", -5 * time.Second, 55_000, 0, 0},
		{"long on the way", -20 * time.Second, 40_000, 0, 1},
		{"from the future", time.Hour, 60_000, 0, 0},
		{"from before the game", -time.Hour, 0, entry.Clock(59, 0), 1},
	} {
		t.Run(test.name, func(t *testing.T) {
			inBubble(t, func(t *testing.T, tb *table) {
				tb.post(period(1, 15))
				tb.post(entry.ClockStarted{})
				time.Sleep(time.Minute)
				stop := tb.draft(entry.ClockStopped{Elapsed: 1, Error: 3})
				stop.Wall += entry.Millis(test.touched.Milliseconds())
				reply := tb.send(stop)
				c := reply.State.Clock
				if c.Elapsed != test.elapsed || c.Error != 3+test.late || len(reply.Notes) != test.notes {
					t.Errorf("the clock is %+v with the notes %v", c, reply.Notes)
				}
			})
		})
	}
}

// A touch from before the clock's anchor counts from the anchor, where the position
// is known, and never takes played time back: a start from before the last stop,
// and a stop from before the last start.
func TestATouchFromBeforeTheAnchorCountsFromTheAnchor(t *testing.T) {
	inBubble(t, func(t *testing.T, tb *table) {
		early := func(body entry.Body, ago time.Duration) rules.Clock {
			d := tb.draft(body)
			d.Wall -= entry.Millis(ago.Milliseconds())
			reply := tb.send(d)
			if got, want := tb.newest().Wall, d.Wall; got <= want {
				t.Errorf("%s is kept at %d, which is not after %d", d.Kind(), got, want)
			}
			return reply.State.Clock
		}
		tb.post(period(1, 15))
		tb.post(entry.ClockStarted{})
		time.Sleep(time.Minute)
		tb.post(entry.ClockStopped{})
		time.Sleep(20 * time.Second)
		// Touched 80 s ago, while the clock ran: it starts at the stop, 20 s ago, and
		// 60 s of the touch are not sure.
		if c := early(entry.ClockStarted{Error: 3}, 80*time.Second); !c.Running || c.Elapsed != 60_000 || c.Error != 60_003 || c.At(tb.bench.Now()) != 80_000 {
			t.Errorf("started, the clock is %+v and shows %s", c, c.At(tb.bench.Now()))
		}
		time.Sleep(10 * time.Second)
		tb.post(entry.ClockStopped{})
		time.Sleep(5 * time.Second)
		tb.post(entry.ClockStarted{})
		time.Sleep(2 * time.Second)
		// Touched 3 s ago, while the clock stood: it stops where it started, 2 s ago.
		if c := early(entry.ClockStopped{}, 3*time.Second); c.Running || c.Elapsed != 90_000 || c.Error != 1000 {
			t.Errorf("stopped, the clock is %+v", c)
		}
	})
}

// A stop that comes more than ten minutes late counts from ten minutes ago, and what
// was cut off is not sure.
func TestATouchOfLongAgoCountsFromTenMinutesAgo(t *testing.T) {
	inBubble(t, func(t *testing.T, tb *table) {
		tb.post(period(1, 40))
		tb.post(entry.ClockStarted{})
		time.Sleep(25 * time.Minute)
		stop := tb.draft(entry.ClockStopped{Error: 3})
		stop.Wall -= entry.Clock(20, 0)
		if c := tb.send(stop).State.Clock; c.Running || c.Elapsed != entry.Clock(15, 0) || c.Error != entry.Clock(10, 0)+3 {
			t.Errorf("the clock is %+v", c)
		}
	})
}

func TestHornStopsTheClockAtItsLength(t *testing.T) {
	inBubble(t, func(t *testing.T, tb *table) {
		tb.post(period(1, 15))
		start := tb.bench.Now()
		tb.post(entry.ClockStarted{})
		time.Sleep(15*time.Minute + time.Duration(hornGrace)*time.Millisecond)
		synctest.Wait()
		c := tb.state().Clock
		stop := tb.newest()
		if c.Running || c.Elapsed != entry.Clock(15, 0) || c.Wall != start+entry.Clock(15, 0) {
			t.Errorf("the clock is %+v", c)
		}
		if stop.Kind() != entry.KindClockStopped || stop.Seat != entry.Program ||
			stop.At != (entry.At{Period: 1, Elapsed: entry.Clock(15, 0)}) {
			t.Errorf("the newest entry is %+v", stop)
		}
		// The intermission runs out by itself as well, and moves nothing in play.
		tb.post(entry.StageBegun{
			Stage: entry.Stage{Kind: entry.Intermission, Number: 1}, Length: entry.Clock(2, 0), Running: true,
		})
		time.Sleep(10 * time.Minute)
		synctest.Wait()
		if got := tb.newest(); got.Kind() != entry.KindClockStopped || got.At != stop.At {
			t.Errorf("after the intermission the newest entry is %+v", got)
		}
	})
}

func TestStopTouchedBeforeTheHornCounts(t *testing.T) {
	inBubble(t, func(t *testing.T, tb *table) {
		tb.post(period(1, 15))
		tb.post(entry.ClockStarted{})
		time.Sleep(15*time.Minute - 40*time.Millisecond)
		stop := tb.draft(entry.ClockStopped{})
		time.Sleep(200 * time.Millisecond) // arrives after the horn
		if c := tb.send(stop).State.Clock; c.Elapsed != entry.Clock(15, 0)-40 {
			t.Errorf("the clock is %+v", c)
		}
		time.Sleep(time.Minute)
		synctest.Wait()
		if got := tb.newest(); got.ID != stop.ID {
			t.Errorf("the program posted %+v", got)
		}
	})
}

func TestNothingElseComesBeforeTheHorn(t *testing.T) {
	inBubble(t, func(t *testing.T, tb *table) {
		tb.post(period(1, 15))
		tb.post(entry.ClockStarted{})
		time.Sleep(15*time.Minute + 10*time.Millisecond)
		reply := tb.post(entry.StageBegun{
			Stage: entry.Stage{Kind: entry.Intermission, Number: 1}, Length: entry.Clock(2, 0), Running: true,
		})
		if got := reply.State.Stage.Kind; got != entry.Intermission {
			t.Errorf("the stage is %s", got)
		}
		if l := tb.ledger(); l[len(l)-2].Seat != entry.Program {
			t.Errorf("before it stands %+v", l[len(l)-2])
		}
	})
}

func TestKilledAndStartedAgain(t *testing.T) {
	inBubble(t, func(t *testing.T, tb *table) {
		tb.post(period(1, 15))
		tb.post(entry.ClockStarted{})
		time.Sleep(3 * time.Minute)
		before := tb.state()
		tb.restart()
		time.Sleep(30 * time.Second) // dead
		after := tb.state()
		if after.Clock != before.Clock || after.Clock.At(tb.bench.Now()) != 3*60_000+30_000 {
			t.Errorf("the clock is %+v, was %+v", after.Clock, before.Clock)
		}
		tb.restart()
		time.Sleep(time.Hour) // dead when the period ended
		last := tb.state()
		if c := last.Clock; c.Running || c.Elapsed != c.Length || c.Wall != before.Clock.Wall+c.Length {
			t.Errorf("the clock is %+v", c)
		}
		if err := entry.VerifyChain(tb.ledger()); err != nil {
			t.Error(err)
		}
	})
}

// setBack is a clock of a computer whose time of day was set back while the
// program was not running.
type setBack struct {
	Clock
	by entry.Millis
}

func (c setBack) Now() entry.Millis { return c.Clock.Now() - c.by }

func TestComputerWasSetBackWhileKilled(t *testing.T) {
	inBubble(t, func(t *testing.T, tb *table) {
		tb.post(period(1, 15))
		tb.post(entry.ClockStarted{})
		time.Sleep(30 * time.Second)
		tb.post(entry.Note{Text: "the last that is known"})
		tb.clock = setBack{SteadyClock(), 3_600_000}
		tb.restart()
		if c := tb.state().Clock; c.Running || c.Elapsed != 30_000 || c.Doubt == nil || c.Doubt.Why != entry.NotYet {
			t.Errorf("the clock is %+v, want it doubted at the last that is known", c)
		}
		tb.post(entry.ClockSet{Elapsed: 30_000})
		tb.post(entry.ClockStarted{})
		time.Sleep(10 * time.Second)
		if c := tb.post(entry.ClockStopped{}).State.Clock; c.Elapsed != 40_000 || c.Doubt != nil {
			t.Errorf("the clock is %+v", c)
		}
	})
}

func TestSystemClockIsReadOnce(t *testing.T) {
	elapsed := time.Duration(0)
	c := newSteadyClock(time.UnixMilli(1_700_000_000_000), func() time.Duration { return elapsed })
	elapsed = 90*time.Second + 999*time.Microsecond
	if got := c.Now(); got != 1_700_000_090_000 {
		t.Errorf("Now() = %d", got)
	}
	// SteadyClock gives it the monotonic reading: time.Since of a time that has one.
	synctest.Test(t, func(t *testing.T) {
		c := SteadyClock()
		before := c.Now()
		time.Sleep(time.Hour)
		if got := c.Now() - before; got != 3_600_000 {
			t.Errorf("an hour took %d ms", got)
		}
	})
}

func TestSlowWatchGetsTheNewestState(t *testing.T) {
	inBubble(t, func(t *testing.T, tb *table) {
		slow, err := tb.bench.Watch(t.Context(), gameID)
		if err != nil {
			t.Fatal(err)
		}
		defer slow.Close()
		fast, err := tb.bench.Watch(t.Context(), gameID)
		if err != nil {
			t.Fatal(err)
		}
		<-fast.Updates() // the state now
		for i := range 100 {
			tb.post(entry.Note{Text: fmt.Sprint(i)})
			if u := <-fast.Updates(); u.State.Seq != i+2 {
				t.Fatalf("after note %d the fast watch got %d", i, u.State.Seq)
			}
		}
		if u := <-slow.Updates(); u.State.Seq != 101 {
			t.Errorf("the slow watch got %d, want the newest, 101", u.State.Seq)
		}
		select {
		case u := <-slow.Updates():
			t.Errorf("and then %d", u.State.Seq)
		default:
		}
		fast.Close()
		fast.Close()
		tb.post(entry.Note{Text: "after it left"})
		if u, open := <-slow.Updates(); !open || u.State.Seq != 102 {
			t.Errorf("got %d, %v", u.State.Seq, open)
		}
		tb.bench.Close()
		if _, open := <-slow.Updates(); open {
			t.Error("the watch is still open")
		}
	})
}

func TestManyPostAtOnce(t *testing.T) {
	inBubble(t, func(t *testing.T, tb *table) {
		var group sync.WaitGroup
		for range 20 {
			d := tb.draft(entry.Note{Text: "at once"})
			group.Go(func() {
				if _, err := tb.bench.Post(t.Context(), gameID, []entry.Entry{d}); err != nil {
					t.Error(err)
				}
			})
		}
		group.Wait()
		if l := tb.ledger(); len(l) != 21 || entry.VerifyChain(l) != nil {
			t.Errorf("%d entries, %v", len(l), entry.VerifyChain(l))
		}
	})
}
