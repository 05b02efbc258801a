package bus

import (
	"context"
	"errors"
	"log/slog"
	"sync"
	"time"
)

// ErrAway is what a bus says that was not reached yet.
var ErrAway = errors.New("the bus was not reached yet")

// lateMost is the longest time between two tries to open a bus (ours).
const lateMost = 10 * time.Second

// Late is a bus that may be away when a process starts: it is opened beside everything
// else, again and again until that succeeds. Until then nothing can be published, and
// whoever follows is told nothing; then they look at everything anew. It is safe for use
// by many goroutines.
type Late struct {
	open   func(ctx context.Context) (Bus, error)
	logger *slog.Logger
	end    context.CancelFunc
	group  sync.WaitGroup
	first  chan struct{} // closed when the first try ended

	mutex   sync.Mutex
	bus     Bus   // nil: it is away
	why     error // why the last try failed
	closed  bool
	follows map[*lateFollow]bool
}

// lateFollow is somebody who follows, or will.
type lateFollow struct {
	told func(Message)
	anew func()
	stop func() // nil: the bus is still away
}

// NewLate begins to open a bus.
func NewLate(open func(ctx context.Context) (Bus, error), logger *slog.Logger) *Late {
	ctx, end := context.WithCancel(context.Background())
	l := &Late{open: open, logger: logger, end: end, first: make(chan struct{}), follows: map[*lateFollow]bool{}}
	l.group.Go(func() { l.run(ctx) })
	return l
}

// run tries until the bus is open or is wanted no longer.
func (l *Late) run(ctx context.Context) {
	for wait := time.Second; ; wait = min(2*wait, lateMost) {
		opened, err := l.open(ctx)
		if err == nil {
			err = l.take(opened)
		}
		said := l.said(err)
		if err == nil || ctx.Err() != nil {
			return
		}
		if said {
			l.logger.Error("the bus between hubs is away; benches are answered all the same, and it is tried again", "error", err)
		}
		select {
		case <-ctx.Done():
			return
		case <-time.After(wait):
		}
	}
}

// said notes how a try ended, and reports whether it is worth saying: the same reason
// again is not.
func (l *Late) said(err error) bool {
	l.mutex.Lock()
	defer l.mutex.Unlock()
	before := l.why
	l.why = err
	select {
	case <-l.first:
	default:
		close(l.first)
	}
	return err != nil && (before == nil || before.Error() != err.Error())
}

// take lets everybody follow a bus that was opened. One that cannot be followed yet is
// closed, and opened again.
func (l *Late) take(opened Bus) error {
	l.mutex.Lock()
	defer l.mutex.Unlock()
	if l.closed {
		return opened.Close()
	}
	for f := range l.follows {
		stop, err := opened.Follow(f.told, f.anew)
		if err != nil {
			for f := range l.follows {
				if f.stop != nil {
					f.stop()
					f.stop = nil
				}
			}
			return errors.Join(err, opened.Close())
		}
		f.stop = stop
	}
	l.bus = opened
	for f := range l.follows {
		l.group.Go(func() { l.begin(f) })
	}
	return nil
}

// begin lets somebody who waited look at everything: what came in until now was not told.
func (l *Late) begin(f *lateFollow) {
	l.mutex.Lock()
	defer l.mutex.Unlock()
	if l.follows[f] {
		f.anew()
	}
}

// First waits until the bus was opened or the first try failed, and returns why; nil
// where the context ended before.
func (l *Late) First(ctx context.Context) error {
	select {
	case <-ctx.Done():
		return nil
	case <-l.first:
	}
	l.mutex.Lock()
	defer l.mutex.Unlock()
	return l.why
}

// Away reports whether nothing can be published or heard at the moment.
func (l *Late) Away() bool {
	there := l.now()
	if there == nil {
		return true
	}
	says, is := there.(interface{ Away() bool })
	return is && says.Away()
}

func (l *Late) now() Bus {
	l.mutex.Lock()
	defer l.mutex.Unlock()
	return l.bus
}

// Publish publishes, or returns ErrAway.
func (l *Late) Publish(ctx context.Context, messages []Message) error {
	if there := l.now(); there != nil {
		return there.Publish(ctx, messages)
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	return ErrAway
}

// Follow tells what is published from now on, or from when the bus is there: then anew is
// called.
func (l *Late) Follow(told func(Message), anew func()) (stop func(), err error) {
	l.mutex.Lock()
	defer l.mutex.Unlock()
	switch {
	case l.closed:
		return nil, ErrClosed
	case l.bus != nil:
		return l.bus.Follow(told, anew)
	}
	var one sync.Mutex // anew may be called while the bus tells already
	f := &lateFollow{
		told: func(m Message) { one.Lock(); defer one.Unlock(); told(m) },
		anew: func() { one.Lock(); defer one.Unlock(); anew() },
	}
	l.follows[f] = true
	return func() {
		l.mutex.Lock()
		stop := f.stop
		f.stop = nil
		delete(l.follows, f)
		l.mutex.Unlock()
		if stop != nil {
			stop()
		}
	}, nil
}

// Close ends the bus for this process, or trying to reach it.
func (l *Late) Close() error {
	l.end()
	l.mutex.Lock()
	l.closed = true
	there := l.bus
	l.mutex.Unlock()
	l.group.Wait()
	if there != nil {
		return there.Close()
	}
	return nil
}
