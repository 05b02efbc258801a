package mirror

import (
	"context"
	"errors"

	"whistlestop/game/entry"
)

// errForgets is returned by ledgers that nothing can be taken out of.
var errForgets = errors.New("nothing can be taken out of these ledgers")

// learn keeps texts that lie beside a ledger, where the ledgers can.
func learn(ctx context.Context, log Log, game string, names []entry.Name) error {
	keeps, can := log.(interface {
		Learn(ctx context.Context, game string, names []entry.Name) error
	})
	if !can {
		return nil
	}
	return keeps.Learn(ctx, game, names)
}

// forget takes texts out of a game (bench.Forgets).
func forget(ctx context.Context, log Log, game string, commitments []string, lines, entries []entry.Entry) error {
	forgets, can := log.(interface {
		Forget(ctx context.Context, game string, commitments []string, lines, entries []entry.Entry) error
	})
	if !can {
		return errForgets
	}
	return forgets.Forget(ctx, game, commitments, lines, entries)
}

// Forget takes texts out of a game, and has every copy written anew without them.
func (m *Mirror) Forget(ctx context.Context, game string, commitments []string, lines, entries []entry.Entry) error {
	err := forget(ctx, m.Log, game, commitments, lines, entries)
	m.Look(game)
	return err
}

// learnt takes the texts that lie beside a copy and are not known here, and
// returns the ledger with them. What was taken out here stays out.
func (f *folder) learnt(game string, ledger, copied []entry.Entry) ([]entry.Entry, error) {
	var more []entry.Name
	for i, e := range copied {
		if names := e.Names(); len(names) > len(ledger[i].Names()) {
			more = append(more, names...)
		}
	}
	if len(more) == 0 {
		return ledger, nil
	}
	if err := learn(context.Background(), f.log, game, more); err != nil {
		return nil, err
	}
	return f.log.Load(context.Background(), game)
}
