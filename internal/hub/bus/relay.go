package bus

import (
	"context"
	"log/slog"
	"sync/atomic"
	"time"
)

// Outbox is what is to be published, beside what it is about.
type Outbox interface {
	// TakeOutbox takes some rows, the oldest first, that nobody else has taken, hands over
	// what they say and deletes them when that was published. It returns how many.
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
}

// Published is how many messages were published since the relay was made.
func (r *Relay) Published() int64 { return r.published.Load() }

// Failed is how many tries in a row failed; 0: the last one did not.
func (r *Relay) Failed() int64 { return r.failed.Load() }

// Run publishes until the context ends. What fails stays in the outbox and is tried
// again, for as long as it takes.
func (r *Relay) Run(ctx context.Context) {
	wait := time.NewTimer(0)
	defer wait.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-wait.C:
		}
		wait.Reset(r.round(ctx))
	}
}

// round takes what is there and says after how long to look again.
func (r *Relay) round(ctx context.Context) time.Duration {
	taken, err := r.Outbox.TakeOutbox(ctx, AtOnce, func(ctx context.Context, messages []Message) error {
		ctx, cancel := context.WithTimeout(ctx, publishMost)
		defer cancel()
		err := r.Bus.Publish(ctx, messages)
		if err == nil {
			r.published.Add(int64(len(messages)))
		}
		return err
	})
	switch {
	case ctx.Err() != nil:
		return longest
	case err != nil:
		failed := r.failed.Add(1)
		if failed == 1 {
			r.Logger.Error("what came in is not told to other hubs; benches are answered all the same, and it is tried again", "error", err)
		}
		return min(longest, every<<min(failed, 10))
	}
	if failed := r.failed.Swap(0); failed > 0 {
		r.Logger.Info("what came in is told to other hubs again", "tries", failed)
	}
	if taken > 0 {
		return 0
	}
	return every
}
