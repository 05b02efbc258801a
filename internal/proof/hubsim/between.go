package hubsim

import (
	"context"
	"errors"

	"whistlestop/internal/hub/bus"
)

// between is the bus between the hubs of a world. It loses, doubles and mixes up what it
// is given, and is lost itself; what it never does is to keep a loss to itself: whoever
// missed something is told to look at everything, as package bus has it.
type between struct {
	w     *world
	ends  []*ear
	wiped bool // it was lost, and is to be filled from the database
}

// ear is one hub's end of it.
type ear struct {
	told   func(bus.Message)
	anew   func()
	waits  []bus.Message
	missed bool
}

var errBus = errors.New("the bus is away")

// publish takes messages, or some of them, or none.
func (b *between) publish(_ context.Context, messages []bus.Message) error {
	w := b.w
	fate := w.random.IntN(100)
	if w.healed {
		fate = 100
	}
	var err error
	switch {
	case fate < 10:
		return errBus
	case fate < 20:
		messages, err = messages[:w.random.IntN(len(messages)+1)], errBus
	case fate < 25:
		err = errBus // it has all of them, and nobody learns it
	}
	for _, e := range b.ends {
		for _, m := range messages {
			switch fate := w.random.IntN(100); {
			case w.healed || fate < 80:
				e.waits = append(e.waits, m)
			case fate < 90:
				e.waits = append(e.waits, m, m)
			default:
				e.missed = true
			}
		}
		if !w.healed && w.random.IntN(4) == 0 {
			w.random.Shuffle(len(e.waits), func(i, j int) { e.waits[i], e.waits[j] = e.waits[j], e.waits[i] })
		}
	}
	return err
}

// deliver tells a hub some of what waits for it; all: everything.
func (b *between) deliver(e *ear, all bool) {
	n := len(e.waits)
	if !all {
		n = b.w.random.IntN(n + 1)
	}
	some := e.waits[:n]
	e.waits = append([]bus.Message(nil), e.waits[n:]...)
	if e.missed {
		e.missed = false
		e.anew()
	}
	for _, m := range some {
		e.told(m)
	}
}

// wipe loses the bus.
func (b *between) wipe() {
	b.w.counts.Wiped++
	b.wiped = true
	for _, e := range b.ends {
		e.waits, e.missed = nil, true
	}
}

// leave takes a hub that ended off.
func (b *between) leave(gone *ear) {
	for i, e := range b.ends {
		if e == gone {
			b.ends = append(b.ends[:i:i], b.ends[i+1:]...)
			return
		}
	}
}
