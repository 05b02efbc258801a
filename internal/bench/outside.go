package bench

import (
	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/game/rules"
)

// Limits of a ledger from outside. A long game has some 2,000 entries and 80
// calls; beyond these numbers working it out would take longer than anybody
// waits.
const (
	entriesMost = 20_000
	playsMost   = 1_000 // goals and calls, amendments of them too
)

// Admit checks a ledger that comes from outside, such as a copy, as a post is
// checked, before anything is worked out of it or kept: every entry by itself,
// that they are one game from its opening on, that seals hold, and the chain. It
// returns the state that the ledger folds to.
func Admit(ledger []entry.Entry) (state rules.State, err error) {
	if len(ledger) == 0 {
		return state, refuse("", "ledger", say("restore.empty"))
	}
	game := ledger[0].Game
	if !ValidGame(game) || !entry.ValidID(game) {
		return state, refuse(game, "id", say("bench.game_id"))
	}
	broken := func(why error) error {
		return refuse(game, "ledger", say("restore.broken", "why", message.Inside(why)))
	}
	if len(ledger) > entriesMost {
		return state, broken(message.New("outside.entries", "most", entriesMost))
	}
	seen, plays := make(map[string]bool, len(ledger)), 0
	for i, e := range ledger {
		if why := unfitFromOutside(e, i, game, seen); why != nil {
			return state, broken(message.Because(why, "outside.entry", "place", i+1))
		}
		if seen[e.ID] = true; isPlay(e) {
			plays++
		}
	}
	if plays > playsMost {
		return state, broken(message.New("outside.plays", "most", playsMost))
	}
	if err := entry.VerifyChain(ledger); err != nil {
		return state, broken(err)
	}
	defer func() {
		if caught := recover(); caught != nil { // what was not thought of must not end the others
			err = broken(message.New("outside.failed", "why", caught))
		}
	}()
	if state, err = rules.Fold(ledger); err != nil {
		return state, broken(err)
	}
	return state, nil
}

// unfitFromOutside says why an entry cannot be the one at a place, or nil.
func unfitFromOutside(e entry.Entry, place int, game string, seen map[string]bool) error {
	if err := e.Bounds(); err != nil {
		return err
	}
	if refused := badCard(e); refused != nil {
		return message.New("outside.card")
	}
	_, opens := e.Body.(entry.GameOpened)
	sealed, seals := e.Body.(entry.Sealed)
	_, takesOut := e.Body.(entry.Withdrawn)
	switch {
	case e.Game != game:
		return message.New("outside.games")
	case opens != (place == 0):
		return message.New("outside.opening")
	case seen[e.ID]:
		return message.New("outside.twice")
	case e.Of != "" && !seen[e.Of]:
		return message.New("outside.about")
	case seals && (sealed.Head != e.Prev || !signed(e)):
		return message.New("outside.seal")
	case takesOut && !withdraws(e):
		return message.New("outside.withdrawal")
	}
	return nil
}

// isPlay reports whether an entry is a goal or a call, or an amendment of one.
func isPlay(e entry.Entry) bool {
	body := e.Body
	if amended, ok := body.(entry.Amended); ok {
		body = amended.To
	}
	return body.Kind().Filed() == entry.AsPlay
}

// isSealed reports whether the report of a game was closed, once at least.
func isSealed(ledger []entry.Entry) bool {
	for _, e := range ledger {
		if _, ok := e.Body.(entry.Sealed); ok {
			return true
		}
	}
	return false
}
