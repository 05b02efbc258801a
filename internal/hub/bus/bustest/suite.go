package bustest

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"slices"
	"sync"
	"testing"
	"time"

	"whistlestop/internal/hub/bus"
)

// Run runs the suite. open returns the ends of a new bus in two processes, which may be
// one and the same.
func Run(t *testing.T, open func(t *testing.T) (here, there bus.Bus)) {
	for _, test := range []struct {
		name string
		run  func(t *testing.T, here, there bus.Bus)
	}{
		{"what is published is told everywhere, in its order", testTold},
		{"the same again is no fault", testAgain},
		{"another line at the same place is told", testAnother},
		{"of many who publish each game keeps its order", testMany},
		{"who is slow holds up nobody", testSlow},
		{"who stopped is told nothing more", testStopped},
		{"who gave up is told so", testCancelled},
	} {
		t.Run(test.name, func(t *testing.T) {
			here, there := open(t)
			t.Cleanup(func() {
				if err := errors.Join(here.Close(), there.Close()); err != nil {
					t.Error(err)
				}
				if err := here.Publish(context.Background(), Some("after", 1, 1)); err == nil {
					t.Error("a bus that was closed took a message")
				}
			})
			test.run(t, here, there)
		})
	}
}

// Some returns messages of a game, from a place on.
func Some(game string, from, count int) []bus.Message {
	var all []bus.Message
	for i := range count {
		all = append(all, bus.Message{
			Association: "harbour", Game: game, Epoch: 1, Seq: from + i, Line: fmt.Appendf(nil, `{"game":%q,"seq":%d}`+"\xff", game, from+i),
		})
	}
	return all
}

// heard is what somebody was told.
type heard struct {
	mutex sync.Mutex
	list  []bus.Message
	anew  int
	news  chan struct{}
}

func (h *heard) wake() {
	select {
	case h.news <- struct{}{}:
	default:
	}
}

// Follow follows a bus until the test ends.
func follow(t *testing.T, b bus.Bus) *heard {
	t.Helper()
	h := &heard{news: make(chan struct{}, 1)}
	stop, err := b.Follow(func(m bus.Message) {
		h.mutex.Lock()
		defer h.mutex.Unlock()
		h.list = append(h.list, m)
		h.wake()
	}, func() {
		h.mutex.Lock()
		defer h.mutex.Unlock()
		h.anew++
		h.wake()
	})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(stop)
	return h
}

// of returns the messages of a game, each once.
func (h *heard) of(game string) (list []bus.Message) {
	h.mutex.Lock()
	defer h.mutex.Unlock()
	seen := map[string]bool{}
	for _, m := range h.list {
		if m.Game == game && !seen[m.ID()] {
			seen[m.ID()] = true
			list = append(list, m)
		}
	}
	return list
}

// Patience is for what hangs, not for what is slow.
const patience = 10 * time.Minute

// wants waits until messages of a game were told, and holds them to be those.
func (h *heard) wants(t *testing.T, want []bus.Message) {
	t.Helper()
	limit := time.After(patience)
	for len(h.of(want[0].Game)) < len(want) {
		select {
		case <-h.news:
		case <-limit:
			t.Fatalf("%d of %d messages were told", len(h.of(want[0].Game)), len(want))
		}
	}
	for i, m := range h.of(want[0].Game) {
		if !same(m, want[i]) {
			t.Fatalf("message %d: %+v, want %+v", i, m, want[i])
		}
	}
}

func same(a, b bus.Message) bool {
	return a.Association == b.Association && a.Game == b.Game && a.Epoch == b.Epoch && a.Seq == b.Seq && a.Turn == b.Turn && bytes.Equal(a.Line, b.Line)
}

func publish(t *testing.T, b bus.Bus, messages []bus.Message) {
	t.Helper()
	if err := b.Publish(t.Context(), messages); err != nil {
		t.Fatal(err)
	}
}

func testTold(t *testing.T, here, there bus.Bus) {
	one, other := follow(t, here), follow(t, there)
	all := Some("G1", 1, 20)
	turn := bus.Message{Association: "harbour", Game: "G1", Epoch: 2, Turn: 77}
	publish(t, here, all[:5])
	publish(t, there, all[5:])
	publish(t, here, []bus.Message{turn})
	odd := bus.Message{Association: "a.b *>", Game: "g é%", Epoch: 1, Seq: 1, Line: []byte("{}")}
	publish(t, there, []bus.Message{odd})
	for _, h := range []*heard{one, other} {
		h.wants(t, append(slices.Clone(all), turn))
		h.wants(t, []bus.Message{odd})
	}
}

func testAgain(t *testing.T, here, there bus.Bus) {
	h := follow(t, there)
	all := Some("G1", 1, 3)
	for range 3 {
		publish(t, here, all)
	}
	last := Some("G1", 4, 1)
	publish(t, here, last)
	h.wants(t, append(slices.Clone(all), last...))
}

// testAnother publishes what a choice brings: another line at a place, and a game of the
// same id of another association.
func testAnother(t *testing.T, here, there bus.Bus) {
	h := follow(t, there)
	all := Some("G1", 1, 1)
	for _, change := range []func(*bus.Message){
		func(m *bus.Message) { m.Line = []byte("another") }, func(m *bus.Message) { m.Epoch = 2 }, func(m *bus.Message) { m.Association = "elsewhere" },
	} {
		m := all[0]
		change(&m)
		all = append(all, m)
	}
	for _, m := range all {
		publish(t, here, []bus.Message{m})
	}
	h.wants(t, all)
}

func testMany(t *testing.T, here, there bus.Bus) {
	h := follow(t, there)
	const games, batches = 6, 5
	var group sync.WaitGroup
	for i := range games {
		group.Go(func() {
			b := here
			if i%2 == 0 {
				b = there
			}
			for n := range batches {
				if err := b.Publish(t.Context(), Some(fmt.Sprint("G", i), 1+n*10, 10)); err != nil {
					t.Error(err)
				}
			}
		})
	}
	group.Wait()
	for i := range games {
		h.wants(t, Some(fmt.Sprint("G", i), 1, batches*10))
	}
}

func testSlow(t *testing.T, here, there bus.Bus) {
	free := make(chan struct{})
	var once sync.Once
	let := func() { once.Do(func() { close(free) }) }
	stop, err := there.Follow(func(bus.Message) { <-free }, func() {})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(stop)
	t.Cleanup(let)
	h := follow(t, here)
	for n := range 12 {
		publish(t, here, Some(fmt.Sprint("G", n), 1, bus.AtOnce))
		h.wants(t, Some(fmt.Sprint("G", n), 1, bus.AtOnce))
	}
}

func testStopped(t *testing.T, here, there bus.Bus) {
	var mutex sync.Mutex
	after, stopped := 0, false
	stop, err := there.Follow(func(bus.Message) {
		mutex.Lock()
		defer mutex.Unlock()
		if stopped {
			after++
		}
	}, func() {})
	if err != nil {
		t.Fatal(err)
	}
	h := follow(t, there)
	publish(t, here, Some("G1", 1, 50))
	stop()
	mutex.Lock()
	stopped = true
	mutex.Unlock()
	publish(t, here, Some("G2", 1, 50))
	h.wants(t, Some("G2", 1, 50))
	stop() // again is no fault
	mutex.Lock()
	defer mutex.Unlock()
	if after != 0 {
		t.Errorf("%d messages after the end", after)
	}
}

func testCancelled(t *testing.T, here, _ bus.Bus) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if err := here.Publish(ctx, Some("G1", 1, 1)); err == nil {
		t.Error("it is said to be published")
	}
}
