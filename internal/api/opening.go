package api

import (
	"crypto/sha256"
	"encoding/base32"

	"whistlestop/game/entry"
)

// WithOpening is an entry that comes with the opening of a game. What says which of
// them it is, so that opening the game again posts nothing twice.
func WithOpening(c *Call, game, what string, body entry.Body) entry.Entry {
	// Its id is the same each time, and as late as the game's own.
	sum := sha256.Sum256([]byte(game + "\x00" + what))
	id := game[:10] + base32.NewEncoding("0123456789ABCDEFGHJKMNPQRSTVWXYZ").WithPadding(base32.NoPadding).EncodeToString(sum[:10])
	return entry.Entry{ID: id, Game: game, Wall: c.Now, Seat: entry.Solo, Body: body}
}

// SlotEnds says when the ice of a game ends, which was known before it was opened.
func SlotEnds(c *Call, game string, at entry.Millis) entry.Entry {
	return WithOpening(c, game, "slot", entry.BenchSet{Clock: entry.Lead, SlotEnd: at})
}
