package bench

import (
	"context"
	"errors"
	"sync/atomic"
	"testing"
	"time"

	"whistlestop/game/entry"
)

// stepped plays two minutes with a penalty, kills the program in the 81st second
// after the last whistle, and starts it again 20 s later under a time of day that
// was set by so much.
func stepped(t *testing.T, tb *table, step entry.Millis, counted bool) {
	t.Helper()
	tb.post(period(1, 15))
	tb.post(entry.ClockStarted{})
	time.Sleep(2 * time.Minute)
	tb.post(entry.ClockStopped{})
	tb.post(entry.Penalty{Side: entry.Home, Player: "7", Call: "tripping", Parts: []entry.Part{entry.Minor}})
	tb.post(entry.ClockStarted{})
	time.Sleep(80 * time.Second)
	kept := tb.bench.Now()
	tb.bench.Close()
	time.Sleep(20 * time.Second)
	tb.clock = setBack{SteadyClock(), -step}
	tb.start()
	r := Restart{Doubt: true, Kept: kept, Running: []string{gameID}}
	if counted {
		r.Counted, r.Since, r.Step = true, 20_000, step
	}
	tb.bench.MindRestart(r)
}

// T4: however the time of day was set while the program was off, the clock stands
// at the last that is known, nobody is let out, no period ends, and each reading
// is one tap away.
func TestT4_ASteppedClockIsDoubtedBeforeAnythingFollows(t *testing.T) {
	const second, hour = entry.Millis(1000), entry.Millis(3600_000)
	for _, step := range []entry.Millis{
		2001, 5 * second, 10 * 60 * second, hour, 30 * 24 * hour, 365 * 24 * hour,
		-2001, -5 * second, -60 * second, -hour, -30 * 24 * hour, -365 * 24 * hour, -26 * 365 * 24 * hour,
	} {
		for _, counted := range []bool{true, false} {
			inBubble(t, func(t *testing.T, tb *table) {
				stepped(t, tb, step, counted)
				s := tb.state()
				const known, counts = 200_000, 220_000 // 2:00 and 1:20, and the 20 s after
				c := s.Clock
				if c.Running || c.Doubt == nil || c.Elapsed != known || c.Wall > tb.bench.Now() {
					t.Fatalf("a step of %d ms, counted %v: the clock is %+v", step, counted, c)
				}
				if e := tb.newest(); e.Seat != entry.Program || e.Kind() != entry.KindClockDoubted || e.At.Elapsed != known {
					t.Errorf("a step of %d ms: the newest entry is %+v", step, e)
				}
				if c.Doubt.Found == 0 || c.Doubt.Kept == 0 || counted && (c.Doubt.Why != entry.Stepped || c.Doubt.Step != step) {
					t.Errorf("a step of %d ms: the doubt is %+v", step, c.Doubt)
				}
				want := map[entry.Millis]bool{known: true}
				if counted {
					want[counts] = true
				}
				if at := min(counts+step, c.Length); at >= known-2000 {
					want[max(at, 0)] = true
				}
				got := map[entry.Millis]bool{}
				hold := s.Hold[0]
				settle, is := hold.Settle.(entry.ClockSet)
				got[settle.Elapsed] = is
				for _, tap := range hold.Others {
					body, is := tap.Settle.(entry.ClockSet)
					got[body.Elapsed] = is
				}
				if len(got) != len(want) {
					t.Errorf("a step of %d ms, counted %v: the taps are %v, want %v", step, counted, got, want)
				}
				for elapsed := range want {
					if !got[elapsed] {
						t.Errorf("a step of %d ms, counted %v: no tap for %s of %v", step, counted, elapsed, got)
					}
				}
				entries := len(tb.ledger())
				time.Sleep(30 * time.Minute) // nobody touches anything
				if len(tb.ledger()) != entries || len(tb.state().Releases) == 0 {
					t.Errorf("a step of %d ms: something followed before a person chose", step)
				}
				if counted {
					tb.post(entry.ClockSet{Elapsed: counts})
					tb.post(entry.ClockStarted{})
					time.Sleep(10 * time.Second)
					if c := tb.post(entry.ClockStopped{}).State.Clock; c.Elapsed != counts+10_000 || c.Doubt != nil {
						t.Errorf("a step of %d ms: the clock is %+v", step, c)
					}
				}
				// Another look at the game in the same run asks nothing again.
				if len(tb.ledger()) > entries+3 {
					t.Errorf("a step of %d ms: %d entries more", step, len(tb.ledger())-entries)
				}
			})
		}
	}
}

// The first thing that comes after the start meets a doubted clock, whatever it is.
func TestT4_AStopThatComesFirstMeetsADoubtedClock(t *testing.T) {
	inBubble(t, func(t *testing.T, tb *table) {
		stepped(t, tb, 3_600_000, true)
		if _, err := tb.bench.Post(t.Context(), gameID, []entry.Entry{tb.draft(entry.Goal{Side: entry.Home, Scorer: "7"})}); err != nil {
			t.Fatal(err)
		}
		if c := tb.state().Clock; c.Doubt == nil || c.Elapsed != 200_000 {
			t.Errorf("the clock is %+v", c)
		}
		if g := tb.state().Goals[0]; g.Moment.Elapsed != 200_000 {
			t.Errorf("the goal is at %s", g.Moment.Elapsed)
		}
	})
}

// A disk that does not take the doubt at first: nothing else is done before it is.
func TestT4_ADoubtThatIsNotKeptHoldsEverything(t *testing.T) {
	inBubble(t, func(t *testing.T, tb *table) {
		full := &fullLog{Log: tb.log}
		tb.log = full
		stepped(t, tb, 365*24*3600_000, true)
		full.full.Store(true)
		if _, err := tb.bench.State(t.Context(), gameID); !isKind(err, Unavailable) {
			t.Errorf("with a full disk: %v", err)
		}
		full.full.Store(false)
		if c := tb.state().Clock; c.Doubt == nil || c.Elapsed != 200_000 {
			t.Errorf("the clock is %+v", c)
		}
	})
}

type fullLog struct {
	Log
	full atomic.Bool // the game's own goroutine looks at it too
}

func (l *fullLog) Append(ctx context.Context, game string, entries []entry.Entry) error {
	if l.full.Load() {
		return errors.New("no space left on device")
	}
	return l.Log.Append(ctx, game, entries)
}

// Every game whose clock ran is looked at, also those that nobody opens: at the
// start after the next one nothing would tell.
func TestT4_GamesThatNobodyOpensAreDoubtedToo(t *testing.T) {
	inBubble(t, func(t *testing.T, tb *table) {
		stepped(t, tb, -3_600_000, false)
		if len(tb.bench.Running()) > 0 {
			t.Error("a clock runs that nobody looked at")
		}
		if err := tb.bench.JudgeAll(t.Context()); err != nil {
			t.Fatal(err)
		}
		ledger, err := tb.log.Load(t.Context(), gameID)
		if err != nil || ledger[len(ledger)-1].Kind() != entry.KindClockDoubted {
			t.Errorf("the newest entry is %+v, %v", ledger[len(ledger)-1], err)
		}
	})
}
