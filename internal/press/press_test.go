package press_test

import (
	"bytes"
	"crypto/sha256"
	"strings"
	"testing"
	"time"

	"whistlestop/game/card"
	"whistlestop/game/entry"
	"whistlestop/game/lanes"
	"whistlestop/game/message"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
	"whistlestop/internal/demo"
	"whistlestop/internal/locale"
	"whistlestop/internal/paper/order"
	"whistlestop/internal/paper/pdf"
	"whistlestop/internal/press"
	"whistlestop/internal/proof/papertest"
)

// noFaces is for a program that is built with all of them.
func noFaces(string) ([]byte, error) { panic("all faces are here") }

// printOrder prints an order as it comes over to the printer, as text.
func printOrder(t *testing.T, o order.Order) ([]byte, error) {
	t.Helper()
	text, err := o.Text()
	if err != nil {
		t.Fatal(err)
	}
	return press.Print(text, locale.English(), noFaces)
}

// TestAReportIsPrintedAsTheProgramPrintsIt: the same bytes, over the order's text.
func TestAReportIsPrintedAsTheProgramPrintsIt(t *testing.T) {
	ledger := papertest.Game(t)
	for i, e := range ledger {
		ledger[i] = entry.KeepApart(e, func(text string) []byte { // as a bench keeps what is said of people
			sum := sha256.Sum256([]byte(text))
			return sum[:entry.RandomBytes]
		})
	}
	text, err := order.LedgerText(ledger)
	if err != nil {
		t.Fatal(err)
	}
	const ahead = -(3*60 + 30) * 60 // seconds
	for _, picture := range []bool{false, true} {
		d := papertest.Report(t, ledger, rulebook.TimesRemaining)
		o := pdf.Options{Paper: pdf.Letter, Names: true, Zone: time.FixedZone("", ahead)}
		if picture {
			drawn := lanes.Whole(papertest.State(t, ledger), d.Totals.Played, func(key string, pairs ...string) string {
				return locale.English().Text(key, rules.Pairs(pairs...))
			})
			o.Picture = &drawn
		}
		var want bytes.Buffer
		if err := pdf.Report(&want, d, o, locale.English()); err != nil {
			t.Fatal(err)
		}
		got, err := printOrder(t, order.Order{Paper: "letter", Report: &order.Report{Ledger: text, Times: rulebook.TimesRemaining, Picture: picture, Ahead: ahead}})
		if err != nil || !bytes.Equal(got, want.Bytes()) {
			t.Errorf("with a picture: %v: %d bytes, %v; the program prints %d", picture, len(got), err, want.Len())
		}
	}
}

// TestACardIsPrintedWhole: also with what no ledger has of it, and why it cannot be
// printed is the same sentence.
func TestACardIsPrintedWhole(t *testing.T) {
	c := demo.Card().Card
	c.Contacts = []card.Contact{{Who: "The rink's office", Call: "ask at the gate"}}
	var want, without bytes.Buffer
	if err := pdf.Card(&want, c, pdf.A4, locale.English()); err != nil {
		t.Fatal(err)
	}
	got, err := printOrder(t, order.OfCard(c, "a4"))
	if err != nil || !bytes.Equal(got, want.Bytes()) {
		t.Errorf("%d bytes, %v; the program prints %d", len(got), err, want.Len())
	}
	c.Contacts = nil
	if err := pdf.Card(&without, c, pdf.A4, locale.English()); err != nil || bytes.Equal(without.Bytes(), got) {
		t.Errorf("the contacts are not on the card: %v", err)
	}
	c.Contacts = []card.Contact{{Who: "Office", Call: strings.Repeat("call ", 40_000)}}
	if _, err := printOrder(t, order.OfCard(c, "a4")); message.Of(err).Key != "card.too_long" {
		t.Errorf("a card that is too long: %v", err)
	}
}

func TestWhatIsNoOrder(t *testing.T) {
	for _, text := range []string{"", "{", `{"paper":"a4"}`, `{"paper":"a4","report":{"ledger":""}}`, `{"paper":"a4","report":{"ledger":"{"}}`} {
		if got, err := press.Print([]byte(text), locale.English(), noFaces); err == nil {
			t.Errorf("%q is printed: %.8q", text, got)
		}
	}
}
