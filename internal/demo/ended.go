package demo

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"math/rand/v2"

	"github.com/oklog/ulid/v2"

	"whistlestop/game/entry"
)

var errNoOpening = errors.New("no opening")

// Ended returns the ledger of a game that went as the invented one did up to a moment,
// and was ended there: between other teams, and as a game of a schedule. It began at an
// instant. change is what its opening has otherwise; names are kept apart, by the random
// bytes that random gives for each.
func Ended(moment string, began entry.Millis, change func(*entry.GameOpened), random func(text string) []byte) ([]entry.Entry, error) {
	ledger, err := Ledger(moment, began)
	if err != nil {
		return nil, err
	}
	open, is := ledger[0].Body.(entry.GameOpened)
	if !is {
		return nil, errNoOpening
	}
	change(&open)
	ledger[0].Body = open
	last := ledger[len(ledger)-1]
	seed := sha256.Sum256(fmt.Append(nil, "ended", moment, began, open.Schedule))
	ids := rand.NewChaCha8(seed)
	id := func(at entry.Millis) (string, error) {
		made, err := ulid.New(uint64(at), ids)
		return made.String(), err
	}
	game, err := id(began)
	if err != nil {
		return nil, err
	}
	over := entry.Entry{Seq: last.Seq + 1, Wall: last.Wall + 60_000, Seat: entry.Solo, Body: entry.StageBegun{Stage: entry.Stage{Kind: entry.Over}}}
	if over.ID, err = id(over.Wall); err != nil {
		return nil, err
	}
	ledger = append(ledger, over)
	ledger[0].ID = game // a game has the id of its first entry
	for i := range ledger {
		ledger[i].Game = game
	}
	return Apart(ledger, random)
}

// Apart returns a ledger with names kept apart, as benches write it: by the random bytes
// that random gives for each.
func Apart(ledger []entry.Entry, random func(text string) []byte) ([]entry.Entry, error) {
	out, prev := make([]entry.Entry, len(ledger)), ""
	for i, e := range ledger {
		e.Prev = prev
		out[i] = entry.KeepApart(e, random)
		var err error
		if prev, err = out[i].Hash(); err != nil {
			return nil, err
		}
	}
	return out, nil
}
