package bus_test

import (
	"context"
	"errors"
	"log/slog"
	"sync"
	"testing"

	"whistlestop/internal/hub/bus"
	"whistlestop/internal/hub/bus/bustest"
)

func TestSuite(t *testing.T) {
	bustest.Run(t, func(*testing.T) (here, there bus.Bus) {
		one := bus.NewMemory()
		return one, one
	})
}

// Who is so slow that the queue is full looks at everything anew, and is told what comes
// after it.
func TestAQueueThatIsFull(t *testing.T) {
	b := bus.NewMemory()
	free, began := make(chan struct{}), make(chan struct{}, 1)
	anew, last := make(chan struct{}, 10), make(chan struct{}, 1)
	stop, err := b.Follow(func(m bus.Message) {
		select {
		case began <- struct{}{}:
		default:
		}
		<-free
		if m.Game == "last" {
			last <- struct{}{}
		}
	}, func() { anew <- struct{}{} })
	if err != nil {
		t.Fatal(err)
	}
	defer stop()
	publish := func(game string, count int) {
		t.Helper()
		if err := b.Publish(t.Context(), bustest.Some(game, 1, count)); err != nil {
			t.Fatal(err)
		}
	}
	publish("first", 1)
	<-began
	for range 10 {
		publish("many", bus.AtOnce)
	}
	publish("last", 1)
	close(free)
	<-anew
	<-last
}

// outbox is one in memory, whose bus fails at times.
type outbox struct {
	mutex sync.Mutex
	rows  []bus.Message
	empty chan struct{}
}

func (o *outbox) TakeOutbox(ctx context.Context, most int, publish func(context.Context, []bus.Message) error) (int, error) {
	o.mutex.Lock()
	defer o.mutex.Unlock()
	n := min(most, len(o.rows))
	if n == 0 {
		select {
		case o.empty <- struct{}{}:
		default:
		}
		return 0, nil
	}
	if err := publish(ctx, o.rows[:n]); err != nil {
		return 0, err
	}
	o.rows = o.rows[n:]
	return n, nil
}

// failing is a bus that fails some times, and then has every message.
type failing struct {
	bus.Bus
	fails int
	got   []bus.Message
}

var errAway = errors.New("the bus is away")

func (f *failing) Publish(_ context.Context, messages []bus.Message) error {
	if f.fails--; f.fails >= 0 {
		return errAway
	}
	f.got = append(f.got, messages...)
	return nil
}

// What a bus did not take stays and is published when it can be.
func TestARelayGoesOn(t *testing.T) {
	rows := bustest.Some("G1", 1, 2*bus.AtOnce+7)
	o := &outbox{rows: rows, empty: make(chan struct{})}
	b := &failing{fails: 3}
	relay := &bus.Relay{Outbox: o, Bus: b, Logger: slog.New(slog.DiscardHandler)}
	ctx, cancel := context.WithCancel(t.Context())
	var group sync.WaitGroup
	group.Go(func() { relay.Run(ctx) })
	<-o.empty
	cancel()
	group.Wait()
	if len(b.got) != len(rows) || relay.Published() != int64(len(rows)) || relay.Failed() != 0 {
		t.Errorf("%d of %d, %d, %d", len(b.got), len(rows), relay.Published(), relay.Failed())
	}
	for i, m := range b.got {
		if m.Seq != i+1 {
			t.Fatalf("message %d is %d", i, m.Seq)
		}
	}
}

func TestQuestions(t *testing.T) {
	bustest.RunAsker(t, func(*testing.T) (here, there bus.Asker) {
		one := bus.NewMemory()
		return one, one
	})
}

// Of two who answer at an address within a process the newer one does, also after the
// older one stopped.
func TestTheNewestAnswers(t *testing.T) {
	b := bus.NewMemory()
	says := func(text string) func() {
		t.Helper()
		stop, err := b.Answer("there", func([]byte) []byte { return []byte(text) })
		if err != nil {
			t.Fatal(err)
		}
		return stop
	}
	older := says("older")
	says("newer")
	older()
	if got, err := b.Ask(t.Context(), "there", nil); string(got) != "newer" || err != nil {
		t.Errorf("%s, %v", got, err)
	}
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	if _, err := b.Ask(t.Context(), "there", nil); !errors.Is(err, bus.ErrClosed) {
		t.Errorf("%v", err)
	}
}
