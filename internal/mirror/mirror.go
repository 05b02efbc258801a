package mirror

import (
	"context"
	"log/slog"
	"sync"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/folder/durable"
)

const (
	// tryEvery is how long a folder that is missing or full waits before it is
	// tried again; seven times as long where that was in vain a few times.
	tryEvery = 2 * time.Second
	// closeWithin is how long a folder may take to finish when the program
	// closes: a stick that hangs must not keep it open.
	closeWithin = 2 * time.Second
)

// Log is the ledgers that are copied.
type Log interface {
	Append(ctx context.Context, game string, entries []entry.Entry) error
	Load(ctx context.Context, game string) ([]entry.Entry, error)
	Games(ctx context.Context) ([]string, error)
}

// Mirror is ledgers with copies. It is safe for use by many goroutines.
type Mirror struct {
	Log
	folders []*folder
	stop    chan struct{}
	once    sync.Once
	group   sync.WaitGroup
}

// New copies the ledgers to the folders, which must be there but need not be
// there yet. now tells the time in milliseconds of Unix time; own marks the
// copies as the bench's, and may be nil.
func New(log Log, disk durable.Disk, logger *slog.Logger, now func() entry.Millis, own *Marks, folders ...string) *Mirror {
	m := &Mirror{Log: log, stop: make(chan struct{})}
	for _, path := range folders {
		f := newFolder(path, log, disk, logger, now, own)
		m.folders = append(m.folders, f)
		m.group.Go(func() { f.run(m.stop) })
	}
	return m
}

// Append appends and, when the entries are safe, has them copied. It does not
// wait for the copies.
func (m *Mirror) Append(ctx context.Context, game string, entries []entry.Entry) error {
	err := m.Log.Append(ctx, game, entries)
	for _, f := range m.folders {
		if err != nil {
			entries = nil // whether they were kept is seen by loading the ledger
		}
		f.due(game, entries)
	}
	return err
}

// Look has the copies of a game looked at again.
func (m *Mirror) Look(game string) {
	for _, f := range m.folders {
		f.due(game, nil)
	}
}

// State returns how each folder stands, in the order in which they were given.
func (m *Mirror) State() []Copy {
	all := make([]Copy, len(m.folders))
	for i, f := range m.folders {
		all[i] = f.state()
	}
	return all
}

// Close copies what is left and ends. A folder that does not answer is left
// behind.
func (m *Mirror) Close() {
	m.once.Do(func() { close(m.stop) })
	done := make(chan struct{})
	go func() {
		m.group.Wait()
		close(done)
	}()
	select {
	case <-done:
	case <-time.After(closeWithin):
	}
}
