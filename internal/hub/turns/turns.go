package turns

import (
	"context"
	"net"
	"os"
	"runtime"
	"sync/atomic"
	"time"

	"golang.org/x/sync/semaphore"
)

// waitsMost is how long somebody waits for a turn. Browsers give up then, too
// (from memory), and what is worked out for who has gone is lost.
const waitsMost = 30 * time.Second

// Listen gives the connections of a listener turns until they are encrypted: as many at once as
// there are processors. Who is there already waits for one beginning then and not for all.
func Listen(l net.Listener) net.Listener {
	return &listener{Listener: l, turns: semaphore.NewWeighted(int64(runtime.GOMAXPROCS(0))), most: waitsMost}
}

// listener lets nobody wait here: who has said nothing yet takes no turn.
type listener struct {
	net.Listener
	turns *semaphore.Weighted // first come, first served
	most  time.Duration
}

// Accept returns the next connection.
func (l *listener) Accept() (net.Conn, error) {
	conn, err := l.Listener.Accept()
	if err != nil {
		return nil, err
	}
	return &arriving{Conn: conn, listener: l}, nil
}

// arriving is a connection until it is encrypted, and afterwards one like any other. A turn begins
// when something was read and ends when more is wanted or the answer is written: what comes
// after that costs little. One goroutine reads and writes until then; any may close.
type arriving struct {
	net.Conn
	listener *listener
	answered atomic.Bool
	closed   atomic.Bool
	working  atomic.Bool // has a turn
	until    time.Time   // the limit, without what was waited
}

// Read reads, and waits for a turn to work on what came.
func (a *arriving) Read(b []byte) (int, error) {
	if a.answered.Load() {
		return a.Conn.Read(b)
	}
	a.rest()
	n, err := a.Conn.Read(b)
	if err != nil {
		return n, err
	}
	return n, a.work()
}

// Write writes the answer.
func (a *arriving) Write(b []byte) (int, error) {
	if !a.answered.Load() {
		a.rest()
		a.answered.Store(true)
	}
	return a.Conn.Write(b)
}

// Close closes, also who waits.
func (a *arriving) Close() error {
	a.closed.Store(true)
	a.rest()
	return a.Conn.Close()
}

// SetReadDeadline notes the limit too: it is moved on by what is waited.
func (a *arriving) SetReadDeadline(t time.Time) error {
	if !a.answered.Load() {
		a.until = t
	}
	return a.Conn.SetReadDeadline(t)
}

// work waits for a turn.
func (a *arriving) work() error {
	began := time.Now()
	ctx, cancel := context.WithTimeout(context.Background(), a.listener.most)
	defer cancel()
	if a.listener.turns.Acquire(ctx, 1) != nil {
		return os.ErrDeadlineExceeded
	}
	a.working.Store(true)
	if a.closed.Load() {
		a.rest()
		return net.ErrClosed
	}
	if a.until.IsZero() {
		return nil
	}
	a.until = a.until.Add(time.Since(began))
	return a.SetDeadline(a.until)
}

// rest gives the turn to the next.
func (a *arriving) rest() {
	if a.working.Swap(false) {
		a.listener.turns.Release(1)
	}
}
