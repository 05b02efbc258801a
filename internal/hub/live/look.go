package live

import (
	"context"
	"errors"
	"time"
)

// Moved says that lines of a game came in, or that others stand in their places. A store
// that cannot be asked is asked again until it answers: nobody says it a second time.
func (g *Games) Moved(id string) { g.look(id, 0) }

// How long after a failure the store is asked again, at first and at most (ours).
const (
	againAfter = 200 * time.Millisecond
	againMost  = 10 * time.Second
)

// look reads what is new of a game, beside what is under way. tries is how often that failed.
func (g *Games) look(id string, tries int) {
	g.mutex.Lock()
	closed := g.closed
	g.mutex.Unlock()
	if closed {
		return
	}
	var wait time.Duration
	if tries > 0 {
		wait = min(againMost, againAfter<<min(tries-1, 10))
	}
	g.Later(wait, func() {
		at := g.game(id)
		if tries > 0 {
			at.mutex.Lock()
			at.again = false
			at.mutex.Unlock()
		}
		err := g.read(context.Background(), at)
		if err == nil || errors.Is(err, ErrNothing) {
			return
		}
		var asked *storeError
		again := errors.As(err, &asked)
		if !again || tries == 0 {
			g.Logger.Error("a game cannot be shown as it is now", "game", id, "tried_again", again, "error", err)
		}
		at.mutex.Lock()
		due := again && !at.again // once, however often it was said
		at.again = at.again || again
		at.mutex.Unlock()
		if due {
			g.look(id, tries+1)
		}
	})
}

// later is how things are done beside what is under way, until the games are closed.
func (g *Games) later(after time.Duration, do func()) {
	g.mutex.Lock()
	defer g.mutex.Unlock()
	if g.closed {
		return
	}
	g.group.Go(func() {
		wait := time.NewTimer(after)
		defer wait.Stop()
		select {
		case <-wait.C:
			do()
		case <-g.ending:
		}
	})
}

// storeError says that the store could not be asked.
type storeError struct{ err error }

// Error is what the store said.
func (e *storeError) Error() string { return e.err.Error() }

// Unwrap returns it.
func (e *storeError) Unwrap() error { return e.err }

// asked marks what the store said.
func asked(err error) error {
	if err != nil {
		err = &storeError{err}
	}
	return err
}
