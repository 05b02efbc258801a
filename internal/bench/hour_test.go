package bench

import (
	"math/rand/v2"
	"testing"
	"time"

	"whistlestop/game/entry"
)

// An hour of play in stretches as a game has them, touched at any instant and
// heard of up to a second later: the clock must be right to 10 ms against what
// was really played.
func TestClockIsRightAfterAnHour(t *testing.T) {
	for _, seed := range []uint64{1, 2, 3, 4, 5} {
		inBubble(t, func(t *testing.T, tb *table) {
			random := rand.New(rand.NewPCG(seed, 0))
			tb.post(period(1, 100))
			played, worst, stretches := time.Duration(0), time.Duration(0), 0
			post := func(body entry.Body) rulesClock {
				d := tb.draft(body)
				time.Sleep(time.Duration(random.Int64N(int64(time.Second))))
				return rulesClock(tb.send(d).State.Clock.Elapsed)
			}
			for played < time.Hour {
				started := time.Now()
				post(entry.ClockStarted{})
				time.Sleep(time.Duration(random.Int64N(int64(90 * time.Second))))
				played += time.Since(started)
				shows := post(entry.ClockStopped{})
				worst = max(worst, (shows.duration() - played).Abs())
				stretches++
				time.Sleep(time.Duration(random.Int64N(int64(30 * time.Second))))
			}
			t.Logf("seed %d: %d stretches, worst error %v", seed, stretches, worst)
			if worst >= 10*time.Millisecond {
				t.Errorf("seed %d: the clock was off by %v", seed, worst)
			}
		})
	}
}

type rulesClock entry.Millis

func (c rulesClock) duration() time.Duration { return time.Duration(c) * time.Millisecond }
