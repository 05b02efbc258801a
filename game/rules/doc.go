// Package rules is the fold: it turns the ledger of a game into the state of
// the game, with a reason for every consequence.
//
// The fold is pure. It reads no clock, starts no goroutine and draws no random
// number; the same entries give the same state, byte for byte.
//
//	state, err := rules.Fold(ledger)
//	preview := rules.Consider(ledger, []entry.Entry{draft}, now)
//
// Fold first settles the ledger: amendments replace, strikes take out. It then
// follows the clock entries in the order in which they were posted, and plays
// the goals and calls in the order in which they happened, stoppage by
// stoppage, with the rule book that the game's division names (box.go,
// match.go, goal.go).
package rules
