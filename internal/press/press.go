package press

import (
	"bytes"
	"fmt"
	"io"
	"time"

	"whistlestop/game/entry"
	"whistlestop/game/lanes"
	"whistlestop/game/rules"
	"whistlestop/internal/paper/order"
	"whistlestop/internal/paper/pdf"
	"whistlestop/record/report"
)

// Words are the texts of a language for people, by their keys.
type Words = pdf.Words

// Print prints an order as it was written (internal/paper/order). The function face
// brings a file with letters, by the name that the site has for it. What does not come
// stands as question marks, and the document says of which name. The error is a sentence
// for people where the order itself cannot be printed.
func Print(text []byte, words Words, face func(name string) ([]byte, error)) ([]byte, error) {
	o, err := order.Read(text)
	if err != nil {
		return nil, err
	}
	for _, name := range pdf.Lacking(string(text)) {
		if content, err := face(name); err == nil {
			pdf.Take(name, content)
		}
	}
	var out bytes.Buffer
	switch {
	case o.Report != nil:
		err = printReport(&out, *o.Report, pdf.Paper(o.Paper), words)
	case o.Card != nil:
		err = pdf.Card(&out, o.Card.Whole(), pdf.Paper(o.Paper), words)
	default:
		err = fmt.Errorf("nothing is ordered")
	}
	return out.Bytes(), err
}

func printReport(out io.Writer, r order.Report, paper pdf.Paper, words Words) error {
	ledger, err := entry.ReadLedger([]byte(r.Ledger))
	if err != nil {
		return err
	}
	d, err := report.Build(ledger, report.Options{Times: r.Times})
	if err != nil {
		return err
	}
	o := pdf.Options{Paper: paper, Names: true, Zone: time.FixedZone("", r.Ahead)}
	if r.Picture {
		state, err := rules.Fold(ledger)
		if err != nil {
			return err
		}
		drawn := lanes.Whole(state, d.Totals.Played, func(key string, pairs ...string) string {
			return words.Text(key, rules.Pairs(pairs...))
		})
		o.Picture = &drawn
	}
	return pdf.Report(out, d, o, words)
}
