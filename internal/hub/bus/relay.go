package bus

import (
	"context"
	"errors"
	"log/slog"
	"sync"
	"sync/atomic"
	"time"
)

// Outbox is what is to be published, beside what it is about.
type Outbox interface {
	// TakeOutbox takes some rows that nobody else has taken, mostly the oldest, hands over
	// what they say, the oldest first, and deletes them when that was published. It returns how many.
	TakeOutbox(ctx context.Context, most int, publish func(ctx context.Context, messages []Message) error) (int, error)
}

// How long a relay waits (ours): after it found nothing, and at most after a failure.
const (
	every       = 20 * time.Millisecond
	longest     = time.Second
	publishMost = 10 * time.Second
)

// Relay publishes what an outbox has. Any number of them share one outbox.
type Relay struct {
	Outbox Outbox
	Bus    Bus
	Logger *slog.Logger

	published atomic.Int64
	failed    atomic.Int64
	failures  atomic.Int64 // ever

	// Of two rounds one reads, or deletes what it published, while the other one publishes.
	// Each gets the second lock before it lets go of the first: what is read first is
	// published first.
	reads, publishes sync.Mutex
}

// Published is how many messages were published since the relay was made.
func (r *Relay) Published() int64 { return r.published.Load() }

// Failed is how many tries in a row failed; 0: the last one did not.
func (r *Relay) Failed() int64 { return r.failed.Load() }

// errAfter ends a round that came after one that failed: what that one had goes first.
var errAfter = errors.New("what was read before was not published")

// Run publishes until the context ends. What fails stays in the outbox and is tried
// again, for as long as it takes.
func (r *Relay) Run(ctx context.Context) {
	var rounds sync.WaitGroup
	for range 2 {
		rounds.Go(func() {
			for ctx.Err() == nil {
				r.round(ctx)
			}
		})
	}
	rounds.Wait()
}

// round takes what is there. Where that was nothing it waits, and the other round with it.
func (r *Relay) round(ctx context.Context) {
	r.reads.Lock()
	before := r.failures.Load()
	turn := func() error {
		r.publishes.Lock()
		if r.failures.Load() > before {
			r.publishes.Unlock()
			return errAfter
		}
		return nil
	}
	reads, publishes := true, false // which locks it has
	taken, err := r.Outbox.TakeOutbox(ctx, AtOnce, func(ctx context.Context, messages []Message) error {
		if err := turn(); err != nil {
			return err
		}
		r.reads.Unlock()
		reads, publishes = false, true
		if err := r.publish(ctx, messages); err != nil {
			return err
		}
		r.publishes.Unlock()
		publishes = false
		return nil
	})
	if taken == 0 && err == nil {
		if err = turn(); err == nil { // the other one, which has all there is, did not fail either
			r.publishes.Unlock()
		}
	}
	wait := r.ended(ctx, before, taken, err)
	if publishes { // and failed: only now its rows are for others
		r.publishes.Unlock()
	}
	if reads {
		defer r.reads.Unlock()
	}
	select {
	case <-ctx.Done():
	case <-time.After(wait):
	}
}

func (r *Relay) publish(ctx context.Context, messages []Message) error {
	ctx, cancel := context.WithTimeout(ctx, publishMost)
	defer cancel()
	err := r.Bus.Publish(ctx, messages)
	if err == nil {
		r.published.Add(int64(len(messages)))
	}
	return err
}

// ended notes how a round ended and says after how long to look again.
func (r *Relay) ended(ctx context.Context, before int64, taken int, err error) time.Duration {
	if err != nil && !errors.Is(err, errAfter) {
		r.failures.Add(1)
	}
	switch {
	case ctx.Err() != nil:
		return 0
	case errors.Is(err, errAfter):
		return r.patience()
	case err != nil:
		if r.failed.Add(1) == 1 {
			r.Logger.Error("what came in is not told to other hubs; benches are answered all the same, and it is tried again", "error", err)
		}
		return r.patience()
	}
	if r.failures.Load() == before { // else the other one failed meanwhile
		if failed := r.failed.Swap(0); failed > 0 {
			r.Logger.Info("what came in is told to other hubs again", "tries", failed)
		}
	}
	if taken > 0 {
		return 0
	}
	return every
}

// patience is how long to wait after as many failures as there were.
func (r *Relay) patience() time.Duration {
	return min(longest, every<<min(r.failed.Load(), 10))
}
