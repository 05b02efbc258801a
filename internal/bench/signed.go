package bench

import (
	"whistlestop/game/entry"
	"whistlestop/record/seal"
)

// signed says whether a seal of a ledger from outside holds.
func signed(e entry.Entry) bool { return seal.Signed(e) }

// withdraws says whether what a ledger from outside says was taken out was signed.
func withdraws(e entry.Entry) bool { return seal.Withdraws(e) }

// unvouched is the place from which on others may have written a ledger from outside.
func unvouched(ledger []entry.Entry) int { return seal.Unvouched(ledger) }
