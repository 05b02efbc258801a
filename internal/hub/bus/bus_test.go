package bus_test

import (
	"context"
	"errors"
	"log/slog"
	"slices"
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

// outbox is one in memory, of one game. What somebody has taken nobody else gets.
type outbox struct {
	mutex     sync.Mutex
	rows      []bus.Message
	questions int
	asked     *sync.Cond
	taken     map[int]int // by which question
	empty     chan struct{}
}

func (o *outbox) take(most int) (some []bus.Message) {
	o.mutex.Lock()
	defer o.mutex.Unlock()
	o.questions++
	o.asked.Broadcast()
	for _, m := range o.rows {
		if len(some) < most && o.taken[m.Seq] == 0 {
			o.taken[m.Seq] = o.questions
			some = append(some, m)
		}
	}
	return some
}

// waits returns when somebody asked after this one was taken.
func (o *outbox) waits(taken bus.Message) {
	o.mutex.Lock()
	defer o.mutex.Unlock()
	for o.questions <= o.taken[taken.Seq] {
		o.asked.Wait()
	}
}

// end lets go of what was taken, and deletes it where it was published.
func (o *outbox) end(some []bus.Message, published bool) {
	o.mutex.Lock()
	defer o.mutex.Unlock()
	for _, m := range some {
		delete(o.taken, m.Seq)
	}
	if published {
		o.rows = slices.DeleteFunc(o.rows, func(m bus.Message) bool { return some[0].Seq <= m.Seq && m.Seq <= some[len(some)-1].Seq })
	}
	if len(o.rows) == 0 {
		select {
		case o.empty <- struct{}{}:
		default:
		}
	}
}

func (o *outbox) TakeOutbox(ctx context.Context, most int, publish func(context.Context, []bus.Message) error) (int, error) {
	some := o.take(most)
	if len(some) == 0 {
		return 0, nil
	}
	err := publish(ctx, some)
	o.end(some, err == nil)
	if err != nil {
		return 0, err
	}
	return len(some), nil
}

// relayed lets a relay publish what an outbox has to a bus.
func relayed(t *testing.T, rows []bus.Message, b bus.Bus) (o *outbox, r *bus.Relay, end func()) {
	t.Helper()
	o = &outbox{rows: slices.Clone(rows), taken: map[int]int{}, empty: make(chan struct{}, 1)}
	o.asked = sync.NewCond(&o.mutex)
	r = &bus.Relay{Outbox: o, Bus: b, Logger: slog.New(slog.DiscardHandler)}
	ctx, cancel := context.WithCancel(t.Context())
	var group sync.WaitGroup
	group.Go(func() { r.Run(ctx) })
	end = func() {
		cancel()
		group.Wait()
	}
	t.Cleanup(end)
	return o, r, end
}

// publishing is a bus that does with messages what a test says.
type publishing struct {
	bus.Bus
	do func(ctx context.Context, messages []bus.Message) error
}

func (p publishing) Publish(ctx context.Context, messages []bus.Message) error {
	return p.do(ctx, messages)
}

var errAway = errors.New("the bus is away")

// A bus is lost in the midst of what it is given, some times: what it did not take stays,
// and everything comes in its order, some of it again.
func TestARelayGoesOn(t *testing.T) {
	rows := bustest.Some("G1", 1, 5*bus.AtOnce+7)
	var got []bus.Message
	had := map[string]bool{}
	tries := 0
	b := publishing{do: func(_ context.Context, messages []bus.Message) (err error) {
		if tries++; tries%3 != 0 {
			messages, err = messages[:len(messages)/(1+tries%3)], errAway
		}
		for _, m := range messages {
			if !had[m.ID()] {
				got = append(got, m)
			}
			had[m.ID()] = true
		}
		return err
	}}
	o, relay, end := relayed(t, rows, b)
	<-o.empty
	end()
	if len(got) != len(rows) || relay.Published() != int64(len(rows)) || tries != 18 {
		t.Errorf("%d of %d, %d, %d tries", len(got), len(rows), relay.Published(), tries)
	}
	for i, m := range got {
		if m.Seq != i+1 {
			t.Fatalf("message %d is %d", i, m.Seq)
		}
	}
}

// While something is being published more is read, and published after it.
func TestARelayReadsAhead(t *testing.T) {
	rows := bustest.Some("G1", 1, 4*bus.AtOnce)
	var o *outbox
	ready := make(chan struct{})
	var got []bus.Message
	b := publishing{do: func(_ context.Context, messages []bus.Message) error {
		<-ready
		o.waits(messages[0])
		got = append(got, messages...)
		return nil
	}}
	o, _, end := relayed(t, rows, b)
	close(ready)
	<-o.empty
	end()
	if len(got) != len(rows) || !slices.IsSortedFunc(got, func(a, b bus.Message) int { return a.Seq - b.Seq }) {
		t.Errorf("%d of %d, or not in order", len(got), len(rows))
	}
}

// Who finds nothing, because somebody else has it all, does not think that all is well.
func TestARelayCountsFailures(t *testing.T) {
	var o *outbox
	var relay *bus.Relay
	ready, tries := make(chan struct{}), 0
	b := publishing{do: func(_ context.Context, messages []bus.Message) error {
		<-ready
		o.waits(messages[0])
		if tries++; tries > 3 {
			return nil
		}
		if failed := relay.Failed(); failed != int64(tries-1) {
			t.Errorf("%d failed at try %d", failed, tries)
		}
		return errAway
	}}
	o, relay, end := relayed(t, bustest.Some("G1", 1, 3), b)
	close(ready)
	<-o.empty
	end()
	if tries != 4 {
		t.Errorf("%d tries", tries)
	}
}

// A relay that is ended lets go of what it has, and deletes nothing of it.
func TestARelayIsEnded(t *testing.T) {
	rows := bustest.Some("G1", 1, 3*bus.AtOnce)
	begun := make(chan struct{})
	b := publishing{do: func(ctx context.Context, _ []bus.Message) error {
		close(begun)
		<-ctx.Done()
		return ctx.Err()
	}}
	o, relay, end := relayed(t, rows, b)
	<-begun
	end()
	if len(o.rows) != len(rows) || len(o.taken) != 0 || relay.Published() != 0 || relay.Failed() != 0 {
		t.Errorf("%d rows, %d taken, %d published, %d failed", len(o.rows), len(o.taken), relay.Published(), relay.Failed())
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
