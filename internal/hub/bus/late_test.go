package bus_test

import (
	"context"
	"errors"
	"log/slog"
	"sync/atomic"
	"testing"
	"time"

	"whistlestop/internal/hub/bus"
	"whistlestop/internal/hub/bus/bustest"
)

func TestSuiteOfALateBus(t *testing.T) {
	bustest.Run(t, func(t *testing.T) (here, there bus.Bus) {
		one := bus.NewMemory()
		open := func() bus.Bus {
			late := bus.NewLate(func(context.Context) (bus.Bus, error) { return one, nil }, slog.New(slog.DiscardHandler))
			if err := late.First(t.Context()); err != nil {
				t.Fatal(err)
			}
			return late
		}
		return open(), open()
	})
}

// A bus that is away takes nothing and says so. When it is there, who followed before is
// told to look at everything, then what is published, and nothing after they stopped.
func TestABusThatComesLater(t *testing.T) {
	memory, there := bus.NewMemory(), atomic.Bool{}
	away := errors.New("no node answers")
	late := bus.NewLate(func(context.Context) (bus.Bus, error) {
		if there.Load() {
			return memory, nil
		}
		return nil, away
	}, slog.New(slog.DiscardHandler))
	if err := late.First(t.Context()); !errors.Is(err, away) || !late.Away() {
		t.Fatal(err)
	}
	told, anew := make(chan bus.Message, 10), make(chan struct{}, 10)
	stop, err := late.Follow(func(m bus.Message) { told <- m }, func() { anew <- struct{}{} })
	if err != nil {
		t.Fatal(err)
	}
	unstarted, err := late.Follow(func(bus.Message) { t.Error("somebody who stopped was told") }, func() { t.Error("somebody who stopped was told") })
	if err != nil {
		t.Fatal(err)
	}
	unstarted()
	if err := late.Publish(t.Context(), bustest.Some("G1", 1, 1)); !errors.Is(err, bus.ErrAway) {
		t.Error(err)
	}
	if _, err := late.Ask(t.Context(), "there", nil); !errors.Is(err, bus.ErrAway) {
		t.Error(err)
	}
	if _, err := late.Answer("there", func([]byte) []byte { return nil }); !errors.Is(err, bus.ErrAway) {
		t.Error(err)
	}
	there.Store(true)
	<-anew // whoever followed waits until it is there
	if late.Away() {
		t.Error("it is there and away")
	}
	bustest.RunAsker(t, func(*testing.T) (bus.Asker, bus.Asker) { return late, memory })
	if err := late.Publish(t.Context(), bustest.Some("G2", 1, 1)); err != nil {
		t.Fatal(err)
	}
	if m := <-told; m.Game != "G2" {
		t.Errorf("%+v", m)
	}
	stop()
	if err := late.Close(); err != nil {
		t.Error(err)
	}
	if _, err := late.Follow(nil, nil); !errors.Is(err, bus.ErrClosed) {
		t.Error(err)
	}
}

// While the bus is away it is looked again and again, also after a look that failed, once
// more when it is back, and no more then.
func TestPoll(t *testing.T) {
	var away atomic.Bool
	away.Store(true)
	looks := make(chan int)
	count := 0
	ctx, end := context.WithCancel(t.Context())
	done := make(chan struct{})
	poll := &bus.Poll{Away: away.Load, Every: time.Millisecond, Logger: slog.New(slog.DiscardHandler), Look: func(ctx context.Context) error {
		count++
		select {
		case looks <- count:
		case <-ctx.Done():
		}
		if count == 2 {
			return errors.New("the database is away")
		}
		return nil
	}}
	go func() { defer close(done); poll.Run(ctx) }()
	for want := 1; want <= 4; want++ {
		if got := <-looks; got != want {
			t.Errorf("look %d, want %d", got, want)
		}
	}
	away.Store(false)
	last := 4
	for range 2 { // the one that is owed, and perhaps one that had begun
		select {
		case last = <-looks:
		case <-time.After(200 * time.Millisecond):
		}
	}
	if last == 4 {
		t.Error("nobody looked when the bus was back")
	}
	select {
	case n := <-looks:
		t.Errorf("look %d although the bus is there", n)
	case <-time.After(50 * time.Millisecond):
	}
	end()
	<-done
}
