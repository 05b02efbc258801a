package jetstream

import (
	"context"
	"errors"
	"time"

	"github.com/nats-io/nats.go"

	"whistlestop/internal/hub/bus"
)

// askPrefix is before the addresses of questions. They are in no stream: a node hands
// them on and keeps nothing.
const askPrefix = "whistlestop.ask."

// askWithin is how long an answer may take: who answers does not wait (ours).
const askWithin = 2 * time.Second

// Answer lets who asks at an address be answered, from this process and from others.
func (b *Bus) Answer(address string, answer func([]byte) []byte) (stop func(), err error) {
	if b.ending.Err() != nil {
		return nil, bus.ErrClosed
	}
	follow, err := b.conn.Subscribe(askPrefix+token(address), func(m *nats.Msg) {
		_ = m.Respond(answer(m.Data)) // whoever asked is told that nobody answered
	})
	if err != nil {
		return nil, err
	}
	// Who is told of the address may ask soon; nodes tell each other within a moment.
	if err := b.conn.FlushTimeout(answerWithin); err != nil {
		return nil, errors.Join(err, follow.Unsubscribe())
	}
	return func() {
		_ = follow.Unsubscribe() // it fails where the connection is gone, and with it the subscription
		_ = b.conn.FlushTimeout(answerWithin)
	}, nil
}

// Ask asks at an address.
func (b *Bus) Ask(ctx context.Context, address string, question []byte) ([]byte, error) {
	switch {
	case b.ending.Err() != nil:
		return nil, bus.ErrClosed
	case !b.conn.IsConnected():
		return nil, bus.ErrAway // rather than to wait until it is back
	}
	within, cancel := context.WithTimeout(ctx, askWithin)
	defer cancel()
	m, err := b.conn.RequestWithContext(within, askPrefix+token(address), question)
	switch {
	case errors.Is(err, nats.ErrNoResponders):
		return nil, bus.ErrNobody
	case errors.Is(err, context.DeadlineExceeded) && ctx.Err() == nil:
		return nil, bus.ErrNobody // who was there is gone, and its node has not told the others yet
	case err != nil:
		return nil, err
	}
	return m.Data, nil
}
