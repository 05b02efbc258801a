package bus

import (
	"context"
	"sync"
)

// Memory is the bus inside one process.
type Memory struct {
	mutex     sync.Mutex
	closed    bool
	followers map[*follower]bool
	answers   map[string]*answering
}

// NewMemory returns a bus that nobody follows yet.
func NewMemory() *Memory {
	return &Memory{followers: map[*follower]bool{}, answers: map[string]*answering{}}
}

// queueMost is how many messages wait for one follower. Who is slower looks at
// everything anew.
const queueMost = 4096

type follower struct {
	told   func(Message)
	anew   func()
	news   chan struct{}
	done   chan struct{}
	mutex  sync.Mutex
	queue  []Message
	missed bool
}

// Publish puts messages into every follower's queue.
func (m *Memory) Publish(ctx context.Context, messages []Message) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	m.mutex.Lock()
	defer m.mutex.Unlock()
	if m.closed {
		return ErrClosed
	}
	for f := range m.followers {
		f.put(messages)
	}
	return nil
}

func (f *follower) put(messages []Message) {
	f.mutex.Lock()
	defer f.mutex.Unlock()
	if len(f.queue)+len(messages) > queueMost {
		f.queue, f.missed = nil, true
	} else {
		f.queue = append(f.queue, messages...)
	}
	select {
	case f.news <- struct{}{}:
	default:
	}
}

// Follow tells what is published from now on.
func (m *Memory) Follow(told func(Message), anew func()) (stop func(), err error) {
	f := &follower{told: told, anew: anew, news: make(chan struct{}, 1), done: make(chan struct{})}
	m.mutex.Lock()
	defer m.mutex.Unlock()
	if m.closed {
		return nil, ErrClosed
	}
	m.followers[f] = true
	var group sync.WaitGroup
	group.Go(f.run)
	var once sync.Once
	return func() {
		once.Do(func() {
			m.mutex.Lock()
			delete(m.followers, f)
			m.mutex.Unlock()
			close(f.done)
		})
		group.Wait()
	}, nil
}

func (f *follower) run() {
	for {
		select {
		case <-f.done:
			return
		case <-f.news:
		}
		f.mutex.Lock()
		queue, missed := f.queue, f.missed
		f.queue, f.missed = nil, false
		f.mutex.Unlock()
		if missed {
			f.anew()
		}
		for _, m := range queue {
			select {
			case <-f.done:
				return
			default:
				f.told(m)
			}
		}
	}
}

// Close ends the bus; who follows is told nothing more.
func (m *Memory) Close() error {
	m.mutex.Lock()
	defer m.mutex.Unlock()
	m.closed, m.followers, m.answers = true, map[*follower]bool{}, map[string]*answering{}
	return nil
}
