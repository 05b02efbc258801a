package sim

import (
	"context"
	"errors"

	"whistlestop/game/entry"
	"whistlestop/internal/store/memory"
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
	store   *memory.Store
	full    bool
	failing int // of a hundred calls
	crashed bool
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
	if err == nil {
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
	ledger, err := d.store.Load(context.Background(), gameID)
	if err != nil {
		d.w.auditor.fault("the ledger cannot be read: %v", err)
	}
	return ledger
}
