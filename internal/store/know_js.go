package store

import "whistlestop/game/entry"

// know has nothing to give in the browser's engine: nothing lies beside the
// ledger of a practice.
func (b Beside) know(e entry.Entry) (entry.Entry, error) { return e, nil }
