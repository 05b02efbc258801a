package bench

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"sync"
	"testing"
	"time"

	"whistlestop/game/entry"
)

// N8: two to five devices act on one whistle within two seconds, each from what
// its own screen showed when the whistle went. The clock stands, it stands where
// the first of them stopped it, and every screen shows the same.
func TestN8_OneWhistleStopsTheClockOnce(t *testing.T) {
	for devices := 2; devices <= 5; devices++ {
		for seed := range uint64(8) {
			inBubble(t, func(t *testing.T, tb *table) {
				random := rand.New(rand.NewPCG(seed, uint64(devices)))
				tb.post(period(1, 15))
				tb.post(entry.ClockStarted{})
				time.Sleep(time.Minute)
				saw := len(tb.ledger())
				var group sync.WaitGroup
				var mutex sync.Mutex
				var touches []entry.Millis
				for device := range devices {
					react := time.Duration(random.Int64N(int64(2 * time.Second)))
					travel := time.Duration(random.Int64N(int64(300 * time.Millisecond)))
					d := tb.draft(entry.ClockStopped{})
					group.Go(func() {
						time.Sleep(react)
						d.Wall = tb.bench.Now()
						mutex.Lock()
						touches = append(touches, d.Wall)
						mutex.Unlock()
						time.Sleep(travel)
						from := Poster{Seat: entry.ClockSeat, Name: fmt.Sprintf("phone %d", device), Saw: saw}
						// Whether the second stop is taken or shown as done is the bench's to say.
						_, _ = tb.bench.PostFrom(t.Context(), gameID, []entry.Entry{d}, from)
					})
				}
				group.Wait()
				c := tb.state().Clock
				began := c.Wall - c.Elapsed
				if c.Running || !slices.Contains(touches, c.Wall) || c.Elapsed < 60_000 || c.Elapsed > 62_000 || began+c.Elapsed != c.Wall {
					t.Errorf("%d devices, seed %d: the clock is %+v, touched at %v", devices, seed, c, touches)
				}
				first, err := tb.bench.Watch(t.Context(), gameID)
				if err != nil {
					t.Fatal(err)
				}
				defer first.Close()
				if u := <-first.Updates(); u.State.Clock != c {
					t.Errorf("%d devices, seed %d: a screen shows %+v, another %+v", devices, seed, u.State.Clock, c)
				}
				time.Sleep(time.Minute)
				if after := tb.state().Clock; after.Running || after.Elapsed != c.Elapsed {
					t.Errorf("%d devices, seed %d: the clock went on to %+v", devices, seed, after)
				}
			})
		}
	}
}

// The same goal, entered by two to five devices at one whistle: all of it is kept,
// and the bench is asked whether it is one goal.
func TestN8_TheSameGoalFromSeveralDevicesIsAsked(t *testing.T) {
	for devices := 2; devices <= 5; devices++ {
		inBubble(t, func(t *testing.T, tb *table) {
			tb.post(period(1, 15))
			tb.post(entry.ClockStarted{})
			time.Sleep(time.Minute)
			tb.post(entry.ClockStopped{})
			saw := len(tb.ledger())
			var group sync.WaitGroup
			for device := range devices {
				d := tb.draft(entry.Goal{Side: entry.Home, Scorer: "7"})
				group.Go(func() {
					time.Sleep(time.Duration(device) * 400 * time.Millisecond)
					from := Poster{Seat: entry.BookSeat, Name: fmt.Sprintf("phone %d", device), Saw: saw}
					if _, err := tb.bench.PostFrom(t.Context(), gameID, []entry.Entry{d}, from); err != nil {
						t.Errorf("%d devices: %v", devices, err)
					}
				})
			}
			group.Wait()
			if s := tb.state(); len(s.Book.Doubles) == 0 || len(s.Goals) != devices {
				t.Errorf("%d devices: %d goals, asked about %+v", devices, len(s.Goals), s.Book.Doubles)
			}
		})
	}
}
