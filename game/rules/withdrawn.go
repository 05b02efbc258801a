package rules

import (
	"slices"
	"strings"

	"whistlestop/game/entry"
)

// withdrawnNumbers are the numbers of the players of each side whose name was
// taken out of the game, in the order of the rosters. With team and date a number
// still tells who it was, so the public does not see it.
func withdrawnNumbers(ledger []settled) (numbers [2][]entry.Jersey) {
	gone := map[string]bool{}
	for i := range ledger {
		if w, is := ledger[i].Body.(entry.Withdrawn); is {
			for _, text := range w.Texts {
				gone[text] = true
			}
		}
	}
	if len(gone) == 0 {
		return numbers
	}
	for i := range ledger {
		e := ledger[i].Entry
		place := 1 // the device comes first (entry.MapTexts)
		look := func(side entry.Side, t entry.Team) {
			for _, p := range t.Players {
				if place < len(e.Apart) && gone[e.Apart[place].Commitment] && side.Valid() {
					if list := &numbers[side.Index()]; !slices.Contains(*list, p.Number) {
						*list = append(*list, p.Number)
					}
				}
				place++
			}
			place += len(t.Staff)
		}
		body := e.Body
		if amended, is := body.(entry.Amended); is {
			body = amended.To
		}
		switch b := body.(type) {
		case entry.GameOpened:
			look(entry.Home, b.Home)
			look(entry.Visitors, b.Visitors)
		case entry.RosterSet:
			look(b.Side, b.Team)
		default: // the other entries say nothing here
		}
	}
	return numbers
}

// IsWithdrawn reports whether a number is that of a player whose name was taken
// out. A zero before a number makes no other player.
func (t Team) IsWithdrawn(number entry.Jersey) bool {
	return number != "" && slices.ContainsFunc(t.Withdrawn, func(j entry.Jersey) bool {
		return strings.TrimLeft(string(j), "0") == strings.TrimLeft(string(number), "0")
	})
}
