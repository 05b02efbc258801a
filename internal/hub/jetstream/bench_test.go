package jetstream_test

import (
	"context"
	"fmt"
	"log/slog"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	natsstream "github.com/nats-io/nats.go/jetstream"

	"whistlestop/internal/hub/bus"
	"whistlestop/internal/hub/bus/bustest"
	"whistlestop/internal/hub/hubtest"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/postgres"
	"whistlestop/internal/hub/postgres/private"
)

// benched gives each round a game of its own: what is published twice is not written.
var benched atomic.Int64

// Five hundred entries on their way from the outbox to three nodes, each on the disk
// there, and what that is held against: the same messages published by the library alone.
func BenchmarkRelay(b *testing.B) {
	c := begun(b)
	here := c.open(nil)
	defer func() { _ = here.Close() }()
	b.Run("relay", func(b *testing.B) { benchmarkRelay(b, here) })
	b.Run("bare", func(b *testing.B) { benchmarkBare(b, c) })
}

func benchmarkRelay(b *testing.B, here bus.Bus) {
	cluster, err := private.Start(b.Context())
	if err != nil {
		b.Skip(err)
	}
	defer func() {
		if err := cluster.Stop(); err != nil {
			b.Error(err)
		}
	}()
	if err := cluster.Make(b.Context(), "hub", ""); err != nil {
		b.Fatal(err)
	}
	if err := postgres.Prepare(b.Context(), cluster.Super("hub")); err != nil {
		b.Fatal(err)
	}
	s, err := postgres.Open(b.Context(), cluster.URL("whistlestop_app", "hub"))
	if err != nil {
		b.Fatal(err)
	}
	defer func() { _ = s.Close() }()
	if err := s.Found(b.Context(), office.Association{ID: hubtest.Ours, Made: 1}, ledgers.Note{}); err != nil {
		b.Fatal(err)
	}
	var filling sync.WaitGroup
	for range b.N {
		filling.Go(func() {
			at := ledgers.Where{Association: hubtest.Ours, Game: fmt.Sprint("G", benched.Add(1))}
			for _, line := range hubtest.Chain("a", nil, bus.AtOnce) {
				line.Bytes = append(line.Bytes, make([]byte, 400)...)
				if _, err := s.Append(b.Context(), at, 1, []ledgers.Line{line}, 7); err != nil {
					b.Error(err)
				}
			}
		})
	}
	filling.Wait()
	if b.Failed() {
		return
	}
	box := &counted{Store: s, wants: int64(b.N * bus.AtOnce), done: make(chan struct{})}
	relay := &bus.Relay{Outbox: box, Bus: here, Logger: slog.New(slog.DiscardHandler)}
	ctx, cancel := context.WithCancel(b.Context())
	var group sync.WaitGroup
	b.ResetTimer()
	group.Go(func() { relay.Run(ctx) })
	<-box.done
	b.StopTimer()
	cancel()
	group.Wait()
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(bus.AtOnce*b.N), "ns/entry")
}

// counted is an outbox that says when all of it was published and deleted.
type counted struct {
	*postgres.Store
	taken atomic.Int64
	wants int64
	done  chan struct{}
}

func (c *counted) TakeOutbox(ctx context.Context, most int, publish func(context.Context, []bus.Message) error) (int, error) {
	n, err := c.Store.TakeOutbox(ctx, most, publish)
	if n > 0 && c.taken.Add(int64(n)) == c.wants {
		close(c.done)
	}
	return n, err
}

func benchmarkBare(b *testing.B, c *cluster) {
	conn := c.connect()
	defer conn.Close()
	js, err := natsstream.New(conn, natsstream.WithPublishAsyncMaxPending(2*bus.AtOnce))
	if err != nil {
		b.Fatal(err)
	}
	var messages []bus.Message
	for range b.N {
		messages = append(messages, bustest.Some(fmt.Sprint("G", benched.Add(1)), 1, bus.AtOnce)...)
	}
	waits := make([]natsstream.PubAckFuture, len(messages))
	b.ResetTimer()
	for i, m := range messages {
		if waits[i], err = js.PublishAsync("ledger.harbour."+m.Game, append(m.Line, make([]byte, 400)...),
			natsstream.WithMsgID(m.ID()), natsstream.WithStallWait(time.Minute)); err != nil {
			b.Fatal(err)
		}
	}
	for _, w := range waits {
		select {
		case <-w.Ok():
		case err := <-w.Err():
			b.Fatal(err)
		case <-b.Context().Done():
			b.Fatal(b.Context().Err())
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(bus.AtOnce*b.N), "ns/entry")
}
