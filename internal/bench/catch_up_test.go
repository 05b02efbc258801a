package bench

import (
	"sync/atomic"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/store/memory"
)

// toldClock shows what a test tells it.
type toldClock struct{ now atomic.Int64 }

func (c *toldClock) Now() entry.Millis { return entry.Millis(c.now.Load()) }

// TestCatchUp: a bench whose clock is told the time sees at once what it brought:
// not within the grace in which a stop may be on its way, and once only.
func TestCatchUp(t *testing.T) {
	clock := &toldClock{}
	clock.now.Store(1_770_000_000_000)
	tb := &table{t: t, log: memory.New(), clock: clock}
	tb.start()
	if _, err := tb.bench.Open(t.Context(), opening(t)); err != nil {
		t.Fatal(err)
	}
	tb.post(period(1, 12))
	tb.post(entry.ClockStarted{})
	for _, test := range []struct {
		later entry.Millis
		stops int
	}{{entry.Clock(12, 0), 0}, {hornGrace - 1, 0}, {1, 1}, {entry.Clock(60, 0), 1}} {
		clock.now.Add(int64(test.later))
		u, err := tb.bench.CatchUp(t.Context(), gameID)
		if err != nil {
			t.Fatal(err)
		}
		if stops := len(u.State.Lines) - 3; stops != test.stops || u.State.Clock.Running != (stops == 0) {
			t.Errorf("%s later there are %d stops", test.later, stops)
		}
	}
	if e := tb.newest(); e.Seat != entry.Program || e.Wall != 1_770_000_000_000+entry.Clock(12, 0) {
		t.Errorf("the stop is %+v", e)
	}
	if _, err := tb.bench.CatchUp(t.Context(), "moon"); !isKind(err, Missing) {
		t.Errorf("a game that is not there: %v", err)
	}
}
