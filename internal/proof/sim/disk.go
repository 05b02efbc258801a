package sim

import (
	"context"
	"errors"

	"whistlestop/game/entry"
	"whistlestop/internal/bench"
	"whistlestop/internal/proof/faults"
	"whistlestop/internal/store/memory"
	"whistlestop/internal/store/sqlite"
)

var (
	errFull  = errors.New("no space left on device")
	errDisk  = errors.New("input/output error")
	errCrash = errors.New("the power is gone")
)

// disk is ledgers that fail. What Append returned nil for is safe; after an error
// it may be there as a whole or not at all, as with the real store.
type disk struct {
	w       *world
	store   bench.Log
	file    *sqlite.Store // where the game is on SQLite, over files that fail
	folder  string
	full    bool
	failing int // of a hundred calls
	crashed bool
	opened  bool
}

// newDisk is a disk in memory, or for some of the games the real store.
func newDisk(w *world) *disk {
	d := &disk{w: w}
	if w.folder == "" {
		d.store = memory.New()
		return d
	}
	d.folder = w.folder
	if err := faults.Install(); err != nil {
		w.auditor.fault("the layer under SQLite is not there: %v", err)
	}
	faults.Ask(d.folder, d.call)
	return d
}

// call is asked about each call of SQLite to the files.
func (d *disk) call(c faults.Call) (v faults.Verdict) {
	d.w.fence()
	defer d.w.fence()
	if d.opened && d.failing > 0 && c.Changes() && d.w.random.IntN(400) < d.failing {
		d.w.note("file", "%s fails", c.File)
		v = faults.Verdict{Fails: c.Kind.Failure(), Drops: c.Kind == faults.Sync}
	}
	return v
}

// start opens the store, as the program does when it starts.
func (d *disk) start() {
	d.crashed = false
	if d.folder == "" {
		return
	}
	s, err := sqlite.Open(d.w.ctx, d.folder)
	if err != nil {
		d.w.auditor.fault("the database does not open: %v", err)
		return
	}
	d.store, d.file, d.opened = s, s, true
}

// stop closes it.
func (d *disk) stop() {
	if d.file == nil {
		return
	}
	d.opened = false
	if err := d.file.Close(); err != nil {
		d.w.note("file", "closing fails")
	}
	d.file = nil
}

// Append appends, or fails before or after it did.
func (d *disk) Append(ctx context.Context, game string, entries []entry.Entry) error {
	d.w.fence()
	defer d.w.fence()
	switch {
	case d.crashed:
		return errCrash
	case d.full:
		d.w.counts["refused by a full disk"]++
		return errFull
	case d.failing > 0 && d.w.chance(d.failing):
		how := d.w.random.IntN(4)
		d.w.note("disk", "append fails, way %d", how)
		if how%2 == 1 { // it was kept, and nobody hears of it
			if err := d.keep(ctx, game, entries); err != nil {
				return err
			}
		}
		if d.crashed = how >= 2; d.crashed {
			return errCrash
		}
		return errDisk
	}
	return d.keep(ctx, game, entries)
}

func (d *disk) keep(ctx context.Context, game string, entries []entry.Entry) error {
	err := d.store.Append(ctx, game, entries)
	if err == nil && game == gameID {
		d.w.auditor.took(entries)
	}
	return err
}

// Load loads, or fails.
func (d *disk) Load(ctx context.Context, game string) ([]entry.Entry, error) {
	d.w.fence()
	defer d.w.fence()
	if d.crashed {
		return nil, errCrash
	}
	if d.failing > 0 && d.w.chance(d.failing) {
		d.w.note("disk", "load fails")
		return nil, errDisk
	}
	return d.store.Load(ctx, game)
}

// Games lists the games.
func (d *disk) Games(ctx context.Context) ([]string, error) { return d.store.Games(ctx) }

// ledger is what is on the disk.
func (d *disk) ledger() []entry.Entry {
	if d.folder != "" && d.file == nil {
		return d.closedLedger()
	}
	failing := d.failing
	d.failing = 0 // nobody of the game asks
	defer func() { d.failing = failing }()
	ledger, err := d.store.Load(context.Background(), gameID)
	if err != nil {
		d.w.auditor.fault("the ledger cannot be read: %v", err)
	}
	return ledger
}

// closedLedger is what a program that starts now would find.
func (d *disk) closedLedger() []entry.Entry {
	s, err := sqlite.Open(d.w.ctx, d.folder)
	if err != nil {
		d.w.auditor.fault("the database does not open: %v", err)
		return nil
	}
	defer s.Close()
	ledger, err := s.Load(d.w.ctx, gameID)
	if err != nil {
		d.w.auditor.fault("the ledger cannot be read: %v", err)
	}
	return ledger
}
