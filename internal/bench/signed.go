//go:build !js

package bench

import (
	"whistlestop/game/entry"
	"whistlestop/record/seal"
)

// signed says whether a seal of a ledger from outside holds.
func signed(e entry.Entry) bool { return seal.Signed(e) }
