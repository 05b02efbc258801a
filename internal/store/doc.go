// Package store holds what every ledger store has in common: the errors that
// its callers tell apart. The stores themselves are below it, one folder each,
// and package storetest is the one suite that all of them pass.
//
// A store keeps the ledgers of games and nothing else. It appends whole posts
// or nothing, only at the end of a ledger, and it never hands out a ledger that
// it cannot vouch for.
//
//	ledgers, err := sqlite.Open(ctx, folder)
//	err = ledgers.Append(ctx, game, entries)
//	if errors.Is(err, store.ErrMoved) {
//		// somebody else appended first: load the ledger again
//	}
package store
