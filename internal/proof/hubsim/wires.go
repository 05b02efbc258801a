package hubsim

import (
	"context"
	"errors"
	"net"
	"strings"
	"sync"
	"sync/atomic"

	"github.com/jackc/pgx/v5"
)

// wires are the connections of one hub to the database. One of them breaks when it was
// used so many times from now on.
type wires struct {
	mutex sync.Mutex
	until int  // times that something is sent, until one breaks; 0: none does
	after bool // the server has carried out what was sent, and its answer is lost
	broke int
	group int // lines that were asked for together with others
}

// TraceQueryStart counts lines of several games that go in one transaction.
func (x *wires) TraceQueryStart(ctx context.Context, _ *pgx.Conn, asked pgx.TraceQueryStartData) context.Context {
	if strings.HasPrefix(asked.SQL, "SELECT place, common FROM hub.append_each(") {
		if games, are := asked.Args[1].([]string); are && len(games) > 1 {
			x.mutex.Lock()
			defer x.mutex.Unlock()
			x.group += len(games)
		}
	}
	return ctx
}

// TraceQueryEnd has nothing to count.
func (x *wires) TraceQueryEnd(context.Context, *pgx.Conn, pgx.TraceQueryEndData) {}

var errBroken = errors.New("the connection to the database broke")

// break lets one break, from now on.
func (x *wires) breakAfter(times int, after bool) {
	x.mutex.Lock()
	defer x.mutex.Unlock()
	x.until, x.after = times, after
}

// counted is how many broke, and how many lines went together.
func (x *wires) counted() (broke, group int) {
	x.mutex.Lock()
	defer x.mutex.Unlock()
	return x.broke, x.group
}

// through makes connections that can break.
func (x *wires) through(config *pgx.ConnConfig) {
	config.Tracer = x
	dial := config.DialFunc
	config.DialFunc = func(ctx context.Context, network, address string) (net.Conn, error) {
		conn, err := dial(ctx, network, address)
		if err != nil {
			return nil, err
		}
		return &line{Conn: conn, of: x}, nil
	}
}

// due reports whether a connection that is about to send breaks, and how.
func (x *wires) due() (breaks, after bool) {
	x.mutex.Lock()
	defer x.mutex.Unlock()
	if x.until == 0 {
		return false, false
	}
	if x.until--; x.until > 0 {
		return false, false
	}
	x.broke++
	return true, x.after
}

// line is one connection.
type line struct {
	net.Conn
	of     *wires
	broken atomic.Bool
}

// Write sends, or breaks before or behind it.
func (l *line) Write(raw []byte) (int, error) {
	breaks, after := l.of.due()
	if breaks && !after {
		return 0, errors.Join(errBroken, l.Close())
	}
	n, err := l.Conn.Write(raw)
	l.broken.Store(breaks)
	return n, err
}

// Read reads, or loses the answer.
func (l *line) Read(into []byte) (int, error) {
	n, err := l.Conn.Read(into)
	if err == nil && l.broken.Load() {
		return 0, errors.Join(errBroken, l.Close())
	}
	return n, err
}
