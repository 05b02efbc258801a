package jetstream

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net/url"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"

	"whistlestop/internal/hub/bus"
	"whistlestop/internal/hub/nodekeys"
)

// Config is what a process needs to join a bus.
type Config struct {
	URL    string         // of the nodes, with commas between
	Keys   *nodekeys.Keys // with which hub and nodes know each other; nil: only for nodes on this computer
	Logger *slog.Logger
	// Refill hands over everything that the stream should have, where it had to be made:
	// at the very first start, and when it was lost.
	Refill func(ctx context.Context, publish func(context.Context, []bus.Message) error) error
}

// The stream. Fourteen days are longer than any game is played; the database has all of
// it for ever (ours).
const (
	streamName = "LEDGER"
	prefix     = "ledger"
	keeps      = 14 * 24 * time.Hour
)

// KeptFor is how old a game may be that a stream made anew is filled with.
const KeptFor = keeps

// How long things may take (ours).
const (
	openWithin   = 2 * time.Minute // nodes that start together agree on a leader first
	answerWithin = 5 * time.Second
	againAfter   = 500 * time.Millisecond
	beat         = 2 * time.Second
)

// Bus is one process's end of the bus.
type Bus struct {
	config Config
	conn   *nats.Conn
	js     jetstream.JetStream
	ending context.Context
	end    context.CancelFunc
	group  sync.WaitGroup

	making  sync.Mutex   // held by whoever makes the stream
	mending atomic.Int64 // how many who follow have lost their consumer
}

// Away reports whether nothing can be published or heard at the moment: no node is
// reached, or none leads the stream.
func (b *Bus) Away() bool { return !b.conn.IsConnected() || b.mending.Load() > 0 }

// Open joins a bus. It waits for the nodes to have agreed on a leader, makes the stream
// if it is not there, and returns a *WeakError where a message could be lost.
func Open(ctx context.Context, c Config) (*Bus, error) {
	if err := c.plain(); err != nil {
		return nil, err
	}
	options := []nats.Option{
		nats.Name("whistlestop hub"), nats.MaxReconnects(-1), nats.ReconnectWait(againAfter),
		nats.ReconnectJitter(againAfter, againAfter), nats.PingInterval(beat), nats.MaxPingsOutstanding(2),
		nats.ErrorHandler(func(_ *nats.Conn, _ *nats.Subscription, err error) { c.Logger.Debug("the bus says", "error", err) }),
	}
	if c.Keys != nil {
		options = append(options, nats.Secure(c.Keys.Client()))
	}
	conn, err := nats.Connect(c.URL, options...)
	if err != nil {
		return nil, err
	}
	js, err := jetstream.New(conn, jetstream.WithPublishAsyncMaxPending(2*bus.AtOnce),
		jetstream.WithPublishAsyncTimeout(answerWithin), jetstream.WithDefaultTimeout(answerWithin))
	if err != nil {
		conn.Close()
		return nil, err
	}
	b := &Bus{config: c, conn: conn, js: js}
	b.ending, b.end = context.WithCancel(context.Background())
	if err := b.fits(ctx); err != nil {
		return nil, errors.Join(err, b.Close())
	}
	return b, nil
}

// plain refuses to talk without encryption to another computer.
func (c Config) plain() error {
	if c.Keys != nil {
		return nil
	}
	for one := range strings.SplitSeq(c.URL, ",") {
		at, err := url.Parse(strings.TrimSpace(one))
		if err != nil {
			return errors.New("the address of a node cannot be read") // it may have a secret in it
		}
		if !nodekeys.Here(at.Hostname()) {
			return &PlainError{Host: at.Hostname()}
		}
	}
	return nil
}

// fits holds the nodes and the stream to what a message needs.
func (b *Bus) fits(ctx context.Context) error {
	said, err := nodes(ctx, b.conn)
	if err != nil {
		return err
	}
	if said < replicas {
		b.config.Logger.Warn("not every node of the bus says how it writes: see to it that each has sync_interval always", "said", said, "nodes", replicas)
	}
	ctx, cancel := context.WithTimeout(ctx, openWithin)
	defer cancel()
	for {
		err := b.stream(ctx)
		var weak *WeakError
		var refused *jetstream.APIError
		switch {
		case err == nil, errors.As(err, &weak):
			return err
		case errors.As(err, &refused) && refused.ErrorCode == notClustered:
			return &WeakError{Setting: "replicas", Found: "1", Needed: strconv.Itoa(replicas)}
		}
		select {
		case <-ctx.Done():
			return errors.Join(err, ctx.Err())
		case <-time.After(againAfter): // a leader is still to be agreed on
		}
	}
}

// notClustered is what a node without others says of a stream on three.
const notClustered = jetstream.ErrorCode(10074)

// stream looks for the stream and makes it where it is not there; what was made is
// filled.
func (b *Bus) stream(ctx context.Context) error {
	b.making.Lock()
	defer b.making.Unlock()
	// A question that nobody leads yet to answer is never answered: it is asked again.
	ctx, cancel := context.WithTimeout(ctx, answerWithin)
	defer cancel()
	there, err := b.js.Stream(ctx, streamName)
	made := errors.Is(err, jetstream.ErrStreamNotFound)
	if made {
		there, err = b.js.CreateStream(ctx, jetstream.StreamConfig{
			Name: streamName, Subjects: []string{prefix + ".*.*"}, Storage: jetstream.FileStorage, Replicas: replicas,
			MaxAge: keeps, DenyDelete: true, DenyPurge: true, Duplicates: 2 * time.Minute,
		})
	}
	if err != nil {
		return err
	}
	if err := held(there.CachedInfo().Config); err != nil {
		return err
	}
	if !made || b.config.Refill == nil {
		return nil
	}
	b.config.Logger.Info("the stream of the bus was made, and is filled from the database")
	return b.config.Refill(b.ending, b.send)
}

// held refuses a stream that somebody made otherwise, so that it could lose what it
// acknowledged.
func held(c jetstream.StreamConfig) error {
	for _, one := range []struct {
		weak                   bool
		setting, found, needed string
	}{
		{c.Replicas < replicas, "replicas", strconv.Itoa(c.Replicas), strconv.Itoa(replicas)},
		{c.Storage != jetstream.FileStorage, "storage", c.Storage.String(), jetstream.FileStorage.String()},
		{c.PersistMode != jetstream.DefaultPersistMode, "persist_mode", "async", "default"},
		{c.NoAck, "no_ack", "true", "false"},
		{c.MaxAge > 0 && c.MaxAge < keeps, "max_age", c.MaxAge.String(), keeps.String()},
	} {
		if one.weak {
			return &WeakError{Setting: one.setting + " of stream " + streamName, Found: one.found, Needed: one.needed}
		}
	}
	return nil
}

// Publish returns when three nodes have all messages on their disks, or two of them.
// Where the stream is gone it makes another.
func (b *Bus) Publish(ctx context.Context, messages []bus.Message) error {
	err := b.send(ctx, messages)
	if err == nil || !errors.Is(err, jetstream.ErrNoStreamResponse) {
		return err
	}
	if err := b.stream(ctx); err != nil {
		return err
	}
	return b.send(ctx, messages)
}

func (b *Bus) send(ctx context.Context, messages []bus.Message) error {
	if b.ending.Err() != nil {
		return bus.ErrClosed
	}
	for len(messages) > 0 {
		n := min(len(messages), bus.AtOnce)
		if err := b.sendSome(ctx, messages[:n]); err != nil {
			return err
		}
		messages = messages[n:]
	}
	return ctx.Err()
}

// sendSome sends messages one behind the other and waits for all answers.
func (b *Bus) sendSome(ctx context.Context, messages []bus.Message) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	if !b.conn.IsConnected() {
		return nats.ErrDisconnected // rather than to wait until it is back
	}
	waits := make([]jetstream.PubAckFuture, len(messages))
	for i, m := range messages {
		var err error
		if waits[i], err = b.js.PublishMsgAsync(packed(m), jetstream.WithMsgID(m.ID())); err != nil {
			return err
		}
	}
	limit := time.NewTimer(answerWithin)
	defer limit.Stop()
	for _, w := range waits {
		select {
		case <-w.Ok():
		case err := <-w.Err():
			return err
		case <-limit.C:
			return context.DeadlineExceeded
		case <-ctx.Done():
			return ctx.Err()
		}
	}
	return nil
}

// What a message says besides its line and its subject.
const (
	epochHeader = "Epoch"
	seqHeader   = "Seq"
	turnHeader  = "Turn"
)

func packed(m bus.Message) *nats.Msg {
	out := nats.NewMsg(prefix + "." + token(m.Association) + "." + token(m.Game))
	out.Data = m.Line
	out.Header.Set(epochHeader, strconv.Itoa(m.Epoch))
	if m.Seq == 0 {
		out.Header.Set(turnHeader, strconv.FormatInt(m.Turn, 10))
	} else {
		out.Header.Set(seqHeader, strconv.Itoa(m.Seq))
	}
	return out
}

func unpacked(in jetstream.Msg) (m bus.Message, err error) {
	parts := strings.Split(in.Subject(), ".")
	if len(parts) != 3 {
		return m, fmt.Errorf("a message with subject %q", in.Subject())
	}
	if m.Association, err = url.PathUnescape(parts[1]); err != nil {
		return m, err
	}
	if m.Game, err = url.PathUnescape(parts[2]); err != nil {
		return m, err
	}
	for name, into := range map[string]*int{epochHeader: &m.Epoch, seqHeader: &m.Seq} {
		if text := in.Headers().Get(name); text != "" {
			if *into, err = strconv.Atoi(text); err != nil {
				return m, err
			}
		}
	}
	if text := in.Headers().Get(turnHeader); text != "" {
		m.Turn, err = strconv.ParseInt(text, 10, 64)
	}
	if len(in.Data()) > 0 {
		m.Line = in.Data()
	}
	return m, err
}

// token is a text as a part of a subject: other signs than these are parts of its
// grammar, or may be.
func token(text string) string {
	var out strings.Builder
	for _, c := range []byte(text) {
		switch {
		case c >= '0' && c <= '9', c >= 'a' && c <= 'z', c >= 'A' && c <= 'Z', c == '-', c == '_':
			out.WriteByte(c)
		default:
			fmt.Fprintf(&out, "%%%02X", c)
		}
	}
	return out.String()
}

// Close leaves the bus.
func (b *Bus) Close() error {
	b.end()
	b.group.Wait()
	b.conn.Close()
	return nil
}
