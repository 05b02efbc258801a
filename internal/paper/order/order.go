package order

import (
	"encoding/json"

	"whistlestop/game/card"
	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
)

// Order is a report or a rink card that is to be a PDF.
type Order struct {
	Paper  string  `json:"paper"` // a4, letter
	Report *Report `json:"report,omitempty"`
	Card   *Card   `json:"card,omitempty"`
}

// Report is the report of a game.
type Report struct {
	Ledger  string               `json:"ledger"` // as files have it (entry.ReadLedger), with the texts that lie beside it
	Times   rulebook.ReportTimes `json:"times"`
	Picture bool                 `json:"picture"` // of the whole game
	Ahead   int                  `json:"ahead"`   // seconds that the times of day are ahead of UTC
}

// Card is a rink card with what is in no ledger.
type Card struct {
	Card     card.Card      `json:"card"`
	Contacts []card.Contact `json:"contacts"`
	Picture  []byte         `json:"picture"`
}

// LedgerText is a ledger as an order has it.
func LedgerText(ledger []entry.Entry) (string, error) {
	var lines entry.Lines
	var text []byte
	for _, e := range ledger {
		var err error
		if text, err = lines.Append(text, e); err != nil {
			return "", err
		}
	}
	return string(text), nil
}

// OfCard orders a rink card.
func OfCard(c card.Card, paper string) Order {
	return Order{Paper: paper, Card: &Card{Card: c, Contacts: c.Contacts, Picture: c.Picture}}
}

// Whole is the card as it was ordered.
func (c Card) Whole() card.Card {
	whole := c.Card
	whole.Contacts, whole.Picture = c.Contacts, c.Picture
	return whole
}

// Read reads an order.
func Read(text []byte) (o Order, err error) {
	err = json.Unmarshal(text, &o)
	return o, err
}

// Text is the order as Read reads it.
func (o Order) Text() ([]byte, error) { return json.Marshal(o) }
