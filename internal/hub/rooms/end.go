package rooms

import (
	"sync"
	"time"

	"golang.org/x/time/rate"

	"whistlestop/game/entry"
)

// Event is what an end of a room hears.
type Event struct {
	Kind  string   `json:"-"`               // here, texts, gone
	Phone string   `json:"phone,omitempty"` // for the bench: of which phone
	Texts []string `json:"texts,omitempty"`
}

// Why an end is over.
const (
	Left     = "left"     // its own side left
	Replaced = "replaced" // the bench opened its room again, somewhere
	Idle     = "idle"     // no phone was there for long
	Away     = "away"     // the other side left, or could not keep up
)

// end is one end of a room: a queue that its stream empties.
type end struct {
	of    *Rooms
	bench Bench  // whose room it is
	is    Count  // one bench, or one phone
	stop  func() // answers no more

	mutex sync.Mutex
	queue []Event
	bytes int
	rate  *rate.Limiter // of the bytes that come
	over  string        // why; empty: it is not
	news  chan struct{}
	done  chan struct{}
}

func (r *Rooms) newEnd(b Bench, is Count) (*end, error) {
	if r.ends.Add(1) > endsMost {
		r.ends.Add(-1)
		return nil, ErrFull
	}
	r.count(b.Association, is.Benches, is.Phones)
	return &end{of: r, bench: b, is: is, rate: rate.NewLimiter(secondMost, waitMost), news: make(chan struct{}, 1), done: make(chan struct{}), stop: func() {}}, nil
}

// eventBytes is what an event is counted for besides its texts.
const eventBytes = 100

// put lets an event wait. It returns ErrFull where that is too much, and ErrNobody where
// the end is over.
func (e *end) put(one Event) error {
	bytes := size(one.Texts) + eventBytes
	e.mutex.Lock()
	defer e.mutex.Unlock()
	switch {
	case e.over != "":
		return ErrNobody
	case e.bytes+bytes > waitMost, e.of.waiting.Load()+int64(bytes) > allMost, !e.rate.AllowN(at(e.of.Now()), bytes):
		return ErrFull
	}
	e.queue = append(e.queue, one)
	e.bytes += bytes
	e.of.waiting.Add(int64(bytes))
	select {
	case e.news <- struct{}{}:
	default:
	}
	return nil
}

func at(m entry.Millis) time.Time { return time.UnixMilli(int64(m)) }

// News gets a value when something waits.
func (e *end) News() <-chan struct{} { return e.news }

// Done is closed when the end is over.
func (e *end) Done() <-chan struct{} { return e.done }

// Take returns what waits, in its order.
func (e *end) Take() []Event {
	e.mutex.Lock()
	defer e.mutex.Unlock()
	all := e.queue
	e.of.waiting.Add(-int64(e.bytes))
	e.queue, e.bytes = nil, 0
	return all
}

// Why says why the end is over; empty: it is not.
func (e *end) Why() string {
	e.mutex.Lock()
	defer e.mutex.Unlock()
	return e.over
}

// finish makes the end over, once. What waits is dropped. It reports whether it did.
func (e *end) finish(why string) bool {
	e.mutex.Lock()
	if e.over != "" {
		e.mutex.Unlock()
		return false
	}
	e.over = why
	e.of.waiting.Add(-int64(e.bytes))
	e.of.ends.Add(-1)
	e.of.count(e.bench.Association, -e.is.Benches, -e.is.Phones)
	e.queue, e.bytes = nil, 0
	close(e.done)
	stop := e.stop
	e.mutex.Unlock()
	stop()
	return true
}
