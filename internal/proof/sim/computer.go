package sim

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"time"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/internal/bench"
	"whistlestop/internal/restart"
)

// computer is what is left of the laptop while its program is dead: a time of day
// that may be set, a count since it was switched on, and the file of the time.
type computer struct {
	set      time.Duration // by which the time of day is off
	switched time.Time     // when it was switched on; zero: before the game
	boot     int
	file     []byte
}

// Read reads the file of the time.
func (c *computer) Read() ([]byte, error) { return slices.Clone(c.file), nil }

// Write replaces it.
func (c *computer) Write(text []byte) error { c.file = slices.Clone(text); return nil }

func (c *computer) read() restart.Reading {
	now := time.Now()
	on := c.switched
	if on.IsZero() {
		on = epoch
	}
	return restart.Reading{
		Wall: entry.Millis(now.Add(c.set).UnixMilli()), Count: entry.Millis(now.Sub(on).Milliseconds()),
		Boot: strconv.Itoa(c.boot),
	}
}

// steps are by how much a time of day is set.
var steps = []time.Duration{
	1500 * time.Millisecond, 2500 * time.Millisecond, 5 * time.Second, time.Minute, time.Hour, 30 * 24 * time.Hour, 365 * 24 * time.Hour,
}

// change is what may happen to a computer while its program is dead: somebody, or
// the network, sets its time of day; it is switched off, and its battery is flat.
func (c *computer) change(w *world) {
	if w.healed {
		return
	}
	if w.chance(35) {
		step := steps[w.random.IntN(len(steps))]
		if w.chance(50) {
			step = -step
		}
		c.set += step
		w.note("clock set", "by %v", step)
	}
	if w.chance(20) {
		c.boot++
		c.switched = time.Now()
		w.note("switched off", "boot %d", c.boot)
		if w.chance(30) {
			c.set = time.Until(time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC))
			w.note("battery flat", "its time of day is %v", time.Now().Add(c.set).UTC())
		}
	}
}

// otherGames are games that lie in the folder beside the one that is played: of
// another day, dated ahead, their clock running, or no ledger at all.
var otherGames = []string{"01JC0000000000000000000001", "01JC0000000000000000000002", "01JC0000000000000000000003"}

// putOthers puts them there.
func (h *host) putOthers() {
	for i, ahead := range []time.Duration{-30 * 24 * time.Hour, time.Hour, 365 * 24 * time.Hour} {
		wall := entry.Millis(time.Now().Add(ahead).UnixMilli())
		id := otherGames[i]
		bodies := []entry.Body{
			h.opened, entry.StageBegun{Stage: entry.Stage{Kind: entry.Period, Number: 1}, Length: entry.Clock(12, 0)}, entry.ClockStarted{},
		}
		var ledger []entry.Entry
		for n, body := range bodies {
			e := entry.Entry{ID: id, Game: id, Seq: n + 1, Wall: wall + entry.Millis(n), Seat: entry.Solo, Body: body}
			if n > 0 {
				e.ID, e.At.Period = fmt.Sprintf("01JE%d%021d", i, n), 1
			}
			ledger = append(ledger, e)
		}
		if err := bench.Chain(nil, ledger); err != nil {
			h.w.auditor.fault("another game cannot be chained: %v", err)
		}
		if err := h.disk.store.Append(context.Background(), id, ledger); err != nil {
			h.w.auditor.fault("another game cannot be put there: %v", err)
		}
	}
}

// strangerLooks is a guest who opens any game, watches it, or asks for the list.
func (w *world) strangerLooks() {
	h := w.host
	if w.healed || !h.up {
		return
	}
	id := otherGames[w.random.IntN(len(otherGames))]
	how := w.random.IntN(3)
	w.note("stranger", "looks at %s, way %d", id, how)
	before := h.live.Now()
	w.settle()
	switch how {
	case 0:
		_, _ = h.live.State(context.Background(), id)
	case 1:
		if watch, err := h.live.Watch(context.Background(), id); err == nil {
			watch.Close()
		}
	case 2:
		_, _ = h.live.Games(context.Background())
	}
	w.settle()
	if h.disk.crashed {
		h.crash(w.between(time.Second, 20*time.Second))
		return
	}
	if now := h.live.Now(); now != before {
		w.auditor.fault("a look at %s moved the bench's time by %d ms", id, now-before)
	}
	w.settle()
}

// begun is a start of the program: how many entries the game had, and by how much
// the bench's time went another way than the true time since the newest of them.
type begun struct {
	at      time.Time
	entries int
	shift   time.Duration
}

// off is by how much a bench's time is ahead of the true one.
func off(now entry.Millis) time.Duration {
	return time.Until(time.UnixMilli(int64(now)))
}

// sameTime is what whole milliseconds may hide, over several starts.
const sameTime = 20 * time.Millisecond

// restarted notes a start. What the program takes the time to be is held against
// the true one, which it does not know.
func (a *auditor) restarted(now entry.Millis) {
	a.axis = off(now)
	if entries := len(a.w.host.disk.ledger()); entries > 0 {
		a.starts = append(a.starts, begun{at: time.Now(), entries: entries, shift: a.axis - a.axisThen})
	}
}

// unsure reports whether an entry was touched under another time than the one
// under which it arrived, or on a device that did not know of it yet.
func (a *auditor) unsure(id string) bool {
	for _, s := range a.starts {
		if s.shift.Abs() > sameTime && a.touched[id].Before(s.at) && a.arrived[id].After(s.at) {
			return true
		}
	}
	return a.astray[id]
}

// doubtsCome holds every start against the ledger: where the time was set or the
// computer was off, and the clock ran, the first entry after it says so.
func (a *auditor) doubtsCome(ledger []entry.Entry) {
	for _, s := range a.starts {
		if s.shift.Abs() <= sameTime || s.entries >= len(ledger) {
			continue
		}
		state, err := rules.Fold(ledger[:s.entries])
		if err != nil || !state.Clock.Running {
			continue
		}
		a.w.counts["clocks that had to be doubted"]++
		if next := ledger[s.entries]; next.Kind() != entry.KindClockDoubted || next.Seat != entry.Program {
			a.fault("after %d entries the program was started %v off the time before, and %s came first", s.entries, s.shift, next.Kind())
		}
	}
}
