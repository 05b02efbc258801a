package mirror

import (
	"context"
	"sync"

	"whistlestop/game/entry"
)

// First is ledgers each of which is held against its copies before anybody reads
// it or appends to it: what a copy brings back has to be there before the game
// goes on. Games that somebody waits for come first, the others one after the
// other behind them. It is safe for use by many goroutines.
type First struct {
	Log
	check func(ctx context.Context, game string)

	// Ended reports whether the names of a game ended on all copies; nil: of none. It is
	// set before anything is copied.
	Ended func(game string) bool

	mutex sync.Mutex
	games map[string]chan struct{} // closed when the game was checked
	done  int
}

// NewFirst stands before ledgers. check holds one game against its copies; it is
// called once for each.
func NewFirst(log Log, check func(ctx context.Context, game string)) *First {
	return &First{Log: log, check: check, games: map[string]chan struct{}{}}
}

// NamesEnded reports whether the names of a game ended on all copies.
func (f *First) NamesEnded(game string) bool { return f.Ended != nil && f.Ended(game) }

// Checked waits until a game was held against its copies.
func (f *First) Checked(ctx context.Context, game string) error {
	f.mutex.Lock()
	checked, known := f.games[game]
	if !known {
		checked = make(chan struct{})
		f.games[game] = checked
		go func() { // whoever asked may be gone before it is done
			defer func() {
				f.mutex.Lock()
				f.done++
				f.mutex.Unlock()
				close(checked)
			}()
			f.check(context.WithoutCancel(ctx), game)
		}()
	}
	f.mutex.Unlock()
	select {
	case <-checked:
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}

// Done is how many games were checked.
func (f *First) Done() int {
	f.mutex.Lock()
	defer f.mutex.Unlock()
	return f.done
}

// Append appends once the game was checked.
func (f *First) Append(ctx context.Context, game string, entries []entry.Entry) error {
	if err := f.Checked(ctx, game); err != nil {
		return err
	}
	return f.Log.Append(ctx, game, entries)
}

// Load reads a ledger once the game was checked.
func (f *First) Load(ctx context.Context, game string) ([]entry.Entry, error) {
	if err := f.Checked(ctx, game); err != nil {
		return nil, err
	}
	return f.Log.Load(ctx, game)
}

// Learn keeps texts that lie beside a ledger.
func (f *First) Learn(ctx context.Context, game string, names []entry.Name) error {
	return learn(ctx, f.Log, game, names)
}

// Forget takes texts out of a game once it was checked.
func (f *First) Forget(ctx context.Context, game string, commitments []string, lines, entries []entry.Entry) error {
	if err := f.Checked(ctx, game); err != nil {
		return err
	}
	return forget(ctx, f.Log, game, commitments, lines, entries)
}
