package bench

import (
	"encoding/json"
	"runtime/debug"

	"whistlestop/game/card"
	"whistlestop/game/entry"
	"whistlestop/game/message"
)

// current is the newest state with the rink card as it is at this instant: what
// the board should read changes while the clock runs.
func (g *game) current() Update {
	u := g.update
	u.Card = g.card()
	return u
}

// card is the view of the rink card. The card is a help beside the game: when it
// fails, it is missing, and the game goes on.
func (g *game) card() (raw []byte) {
	defer func() {
		if caught := recover(); caught != nil {
			raw = nil
			g.bench.logger.Error("the rink card failed inside the program",
				"game", g.id, "error", caught, "stack", string(debug.Stack()))
		}
	}()
	if len(g.ledger) == 0 {
		return nil
	}
	view, err := g.board.Look(g.ledger, g.update.State, g.bench.Now())
	if err == nil && view != nil {
		raw, err = json.Marshal(view)
	}
	if err != nil {
		g.bench.logger.Error("look at the rink card", "game", g.id, "error", err)
		return nil
	}
	return raw
}

// badCard refuses a rink card that cannot be used.
func badCard(d entry.Entry) error {
	body := d.Body
	if amended, ok := body.(entry.Amended); ok {
		body = amended.To
	}
	set, ok := body.(entry.CardSet)
	if !ok || len(set.Card) == 0 || string(set.Card) == "null" {
		return nil
	}
	if _, err := card.FromJSON(set.Card); err != nil {
		return refuse(d.ID, "card", say("card.unusable", "why", message.Inside(err)))
	}
	return nil
}
