// Package ledgers is the ledgers of an association's games as a hub keeps them: what
// a line is, where lines from a bench belong, and what a store of them must do. A hub
// orders nothing: it takes lines in the order that the bench gave them, keeps the
// bytes that were hashed, and answers when they are on the disk.
//
// The natural key of a line is its game, place and hash. Whoever sends the same again
// is told that it is there, for ever. Where another line stands at that place already
// nothing is dropped and nothing merged: the later lines are kept as a branch, the
// game is shown up to the last line that both have, and a person decides.
//
//	lines, err := ledgers.Read("01JD0000000000000000000001", body)
//	head, err := store.Append(ctx, where, head.Epoch, lines, now)
//	var gap *ledgers.GapError
//	if errors.As(err, &gap) {
//		// send from entry gap.Want
//	}
//
// Every store passes package hubtest.
package ledgers
