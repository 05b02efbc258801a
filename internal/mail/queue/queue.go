package queue

import (
	"context"
	"encoding/json"
	"errors"
	"log/slog"
	"slices"
	"sync"
	"time"

	"whistlestop/internal/mail"
)

// File is where the queue lies. What Write returned without an error survives a power cut.
type File interface {
	Read() ([]byte, error) // nil: there is none yet
	Write(text []byte) error
}

// most is how many letters wait at once (ours): more than anybody asks for in a quarter of
// an hour, and few enough to be one file.
const most = 500

// ErrFull says that too many letters wait.
var ErrFull = errors.New("too many letters wait")

// waiting is a letter that waits.
type waiting struct {
	mail.Letter
	Ends    int64 `json:"ends"` // milliseconds of Unix time, after which it is good for nothing
	Next    int64 `json:"next,omitempty"`
	Tries   int   `json:"tries,omitempty"`
	Sending bool  `json:"sending,omitempty"` // kept before it goes
}

// Queue is letters that wait. It is safe for use by many goroutines; Deliver and Run are
// one goroutine's.
type Queue struct {
	file   File
	sender mail.Sender
	now    func() int64 // milliseconds of Unix time
	logger *slog.Logger
	more   chan struct{}

	mutex sync.Mutex
	list  []waiting
}

// Open reads what waits. A letter that was on its way when the power went is dropped: it
// may have arrived, and whoever misses it asks again.
func Open(file File, sender mail.Sender, now func() int64, logger *slog.Logger) (*Queue, error) {
	q := &Queue{file: file, sender: sender, now: now, logger: logger, more: make(chan struct{}, 1)}
	text, err := file.Read()
	if err != nil || text == nil {
		return q, err
	}
	if err := json.Unmarshal(text, &q.list); err != nil {
		return nil, err
	}
	q.list = slices.DeleteFunc(q.list, func(w waiting) bool { return w.Sending })
	return q, nil
}

// Add keeps a letter and returns when it is on the disk. It ends at an instant in
// milliseconds of Unix time.
func (q *Queue) Add(l mail.Letter, ends int64) error {
	q.mutex.Lock()
	defer q.mutex.Unlock()
	list := q.good()
	if len(list) >= most {
		return ErrFull
	}
	if err := q.keep(append(list, waiting{Letter: l, Ends: ends})); err != nil {
		return err
	}
	select {
	case q.more <- struct{}{}:
	default:
	}
	return nil
}

// good are the letters that are still good for something.
func (q *Queue) good() []waiting {
	now := q.now()
	return slices.DeleteFunc(slices.Clone(q.list), func(w waiting) bool { return w.Ends <= now })
}

// keep makes a list the one that is kept. The caller holds the mutex.
func (q *Queue) keep(list []waiting) error {
	text, err := json.Marshal(list)
	if err == nil {
		err = q.file.Write(text)
	}
	if err == nil {
		q.list = list
	}
	return err
}

// idle is how long nothing is looked for.
const idle = 20 * time.Second

// again are the waits after so many tries in vain (ours): somebody sits there.
var again = []time.Duration{5 * time.Second, 20 * time.Second, time.Minute, 3 * time.Minute}

// Deliver sends at most one letter and says when to look again.
func (q *Queue) Deliver(ctx context.Context) time.Duration {
	next, err := q.next()
	if err != nil {
		q.logger.Error("a letter cannot be kept before it goes; it waits", "error", err)
	}
	if next == nil || err != nil {
		return idle
	}
	failed := q.sender.Send(ctx, next.Letter)
	q.mutex.Lock()
	defer q.mutex.Unlock()
	list := slices.DeleteFunc(slices.Clone(q.list), func(w waiting) bool { return w.ID == next.ID })
	switch outcome := mail.Came(failed); outcome {
	case mail.Later, mail.Closed:
		q.logger.Warn("a letter cannot be sent yet", "error", failed)
		next.Sending = false
		next.Next = q.now() + again[min(next.Tries, len(again)-1)].Milliseconds()
		next.Tries++
		list = append(list, *next)
	case mail.Refused, mail.Perhaps:
		q.logger.Warn("a letter was not sent, or nobody knows; whoever misses it asks again", "error", failed)
	case mail.Sent:
	}
	if err := q.keep(list); err != nil {
		q.logger.Error("what came of a letter cannot be kept", "error", err)
	}
	return 0
}

// next takes the letter that is to go now, and keeps that it goes.
func (q *Queue) next() (*waiting, error) {
	q.mutex.Lock()
	defer q.mutex.Unlock()
	list, now := q.good(), q.now()
	at := slices.IndexFunc(list, func(w waiting) bool { return !w.Sending && w.Next <= now })
	if at < 0 {
		if len(list) != len(q.list) {
			return nil, q.keep(list)
		}
		return nil, nil
	}
	list[at].Sending = true
	if err := q.keep(list); err != nil {
		return nil, err
	}
	one := list[at]
	return &one, nil
}

// Run sends letters until the first context ends; one that is on its way then may take
// until the other does.
func (q *Queue) Run(ctx, cut context.Context) {
	for {
		wait := q.Deliver(cut)
		if soon := q.soonest(); wait > soon {
			wait = soon
		}
		timer := time.NewTimer(wait)
		select {
		case <-ctx.Done():
			timer.Stop()
			return
		case <-timer.C:
		case <-q.more:
			timer.Stop()
		}
	}
}

// soonest is how long it is until a letter may be tried again.
func (q *Queue) soonest() time.Duration {
	q.mutex.Lock()
	defer q.mutex.Unlock()
	wait, now := idle, q.now()
	for _, w := range q.list {
		wait = min(wait, max(time.Second, time.Duration(w.Next-now)*time.Millisecond))
	}
	return wait
}
