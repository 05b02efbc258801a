package jetstream

import (
	"context"
	"errors"
	"sync"
	"time"

	"github.com/nats-io/nats.go/jetstream"

	"whistlestop/internal/hub/bus"
)

// Follow tells what is published from now on, by one ordered consumer. One that loses
// its node is made again from the place where it was; where the stream is another one,
// following begins anew and says so.
func (b *Bus) Follow(told func(bus.Message), anew func()) (stop func(), err error) {
	if b.ending.Err() != nil {
		return nil, bus.ErrClosed
	}
	ctx, cancel := context.WithCancel(b.ending)
	f := &following{bus: b, told: told, anew: anew, broken: make(chan struct{}, 1)}
	if err := f.begin(ctx); err != nil {
		cancel()
		return nil, err
	}
	var group sync.WaitGroup
	group.Go(func() { f.run(ctx) })
	b.group.Go(group.Wait)
	return func() { cancel(); group.Wait() }, nil
}

// following is one who follows.
type following struct {
	bus    *Bus
	told   func(bus.Message)
	anew   func()
	broken chan struct{} // the consumer is to be made again

	consume jetstream.ConsumeContext

	mutex sync.Mutex
	ended bool
	made  time.Time // when the stream was made
	last  uint64    // place in it of the newest message that was told
}

// begin makes a consumer: for what comes behind the newest message that was told, or for
// what is published from now on where the stream is one of which nothing was told yet.
// A consumer of the library's own, "from now on", leaves out what comes while it is made
// again, and takes its time to notice that its node is gone.
func (f *following) begin(ctx context.Context) error {
	within, cancel := context.WithTimeout(ctx, answerWithin)
	defer cancel()
	stream, err := f.bus.js.Stream(within, streamName)
	if err != nil {
		return err
	}
	info := stream.CachedInfo()
	f.mutex.Lock()
	other := !info.Created.Equal(f.made)
	again := other && !f.made.IsZero()
	if other {
		f.made, f.last = info.Created, info.State.LastSeq
	}
	from, made := f.last+1, f.made
	f.mutex.Unlock()
	consumer, err := stream.OrderedConsumer(within, jetstream.OrderedConsumerConfig{
		DeliverPolicy: jetstream.DeliverByStartSequencePolicy, OptStartSeq: from, MaxResetAttempts: 1,
	})
	if err != nil {
		return err
	}
	f.consume, err = consumer.Consume(func(in jetstream.Msg) { f.take(made, in) }, jetstream.PullHeartbeat(beat),
		jetstream.PullExpiry(30*time.Second), jetstream.ConsumeErrHandler(func(jetstream.ConsumeContext, error) { f.look() }))
	if err != nil {
		return err
	}
	if again {
		f.mutex.Lock()
		defer f.mutex.Unlock()
		f.anew()
	}
	return nil
}

func (f *following) look() {
	select {
	case f.broken <- struct{}{}:
	default:
	}
}

// take tells a message, each once and in its order. Once following has ended nothing is
// told, and nothing of a stream that is not there any more.
func (f *following) take(made time.Time, in jetstream.Msg) {
	m, err := unpacked(in)
	place, failed := in.Metadata()
	f.mutex.Lock()
	defer f.mutex.Unlock()
	switch {
	case f.ended, !made.Equal(f.made), failed == nil && place.Sequence.Stream <= f.last:
	case err != nil, failed != nil:
		f.bus.config.Logger.Error("a message of the bus cannot be read; everything is looked at instead", "error", errors.Join(err, failed))
		f.anew()
	default:
		f.last = place.Sequence.Stream
		f.told(m)
	}
}

// run looks after the consumer until following ends.
func (f *following) run(ctx context.Context) {
	for {
		select {
		case <-ctx.Done():
			f.consume.Stop()
			f.mutex.Lock()
			f.ended = true
			f.mutex.Unlock()
			return
		case <-f.broken:
			f.mend(ctx)
		}
	}
}

// mend makes the consumer again, as soon as there is a node that leads the stream.
func (f *following) mend(ctx context.Context) {
	f.bus.mending.Add(1)
	defer f.bus.mending.Add(-1)
	f.consume.Stop()
	for ctx.Err() == nil {
		err := f.begin(ctx)
		if errors.Is(err, jetstream.ErrStreamNotFound) {
			err = errors.Join(err, f.bus.stream(ctx))
		}
		if err == nil {
			return
		}
		f.bus.config.Logger.Debug("the bus cannot be followed for the moment", "error", err)
		select {
		case <-ctx.Done():
		case <-time.After(againAfter):
		}
	}
}
