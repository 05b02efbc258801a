package bus

import (
	"context"
	"errors"
)

// Asker carries questions to whoever answers at an address, in whichever process that is.
// Nothing is kept: where nobody answers, a question is lost and its asker told so. Memory,
// Late and the bus between processes are ones. It is safe for use by many goroutines.
type Asker interface {
	// Answer lets who asks at an address be answered until stop is called. One at an address:
	// within a process the newest takes its place. answer must not wait. Other processes may
	// know of it, or that it stopped, a moment later.
	Answer(address string, answer func(question []byte) []byte) (stop func(), err error)
	// Ask asks at an address. ErrNobody: nobody answers there.
	Ask(ctx context.Context, address string, question []byte) (answer []byte, err error)
}

// ErrNobody is what an Asker says of an address at which nobody answers.
var ErrNobody = errors.New("nobody answers there")

// answering is somebody who answers.
type answering struct{ answer func([]byte) []byte }

// Answer lets who asks at an address be answered.
func (m *Memory) Answer(address string, answer func([]byte) []byte) (stop func(), err error) {
	one := &answering{answer}
	m.mutex.Lock()
	defer m.mutex.Unlock()
	if m.closed {
		return nil, ErrClosed
	}
	m.answers[address] = one
	return func() {
		m.mutex.Lock()
		defer m.mutex.Unlock()
		if m.answers[address] == one {
			delete(m.answers, address)
		}
	}, nil
}

// Ask asks at an address.
func (m *Memory) Ask(ctx context.Context, address string, question []byte) ([]byte, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	m.mutex.Lock()
	one, closed := m.answers[address], m.closed
	m.mutex.Unlock()
	switch {
	case closed:
		return nil, ErrClosed
	case one == nil:
		return nil, ErrNobody
	}
	return one.answer(question), nil
}

// asker is the bus between processes where it is there and carries questions.
func (l *Late) asker() (Asker, error) {
	there := l.now()
	if there == nil {
		return nil, ErrAway
	}
	asker, is := there.(Asker)
	if !is {
		return nil, ErrAway
	}
	return asker, nil
}

// Answer lets who asks at an address be answered, or returns ErrAway.
func (l *Late) Answer(address string, answer func([]byte) []byte) (stop func(), err error) {
	asker, err := l.asker()
	if err != nil {
		return nil, err
	}
	return asker.Answer(address, answer)
}

// Ask asks at an address, or returns ErrAway.
func (l *Late) Ask(ctx context.Context, address string, question []byte) ([]byte, error) {
	asker, err := l.asker()
	if err != nil {
		return nil, err
	}
	return asker.Ask(ctx, address, question)
}
