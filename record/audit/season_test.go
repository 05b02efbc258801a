package audit_test

import (
	"bytes"
	"os"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/record/audit"
	"whistlestop/record/report"
)

// BenchmarkAuditSeason audits a season of 1,300 games, from their ledgers to
// their findings.
func BenchmarkAuditSeason(b *testing.B) {
	text, err := os.ReadFile("../report/testdata/whole-game.jsonl")
	if err != nil {
		b.Fatal(err)
	}
	var ledger []entry.Entry
	for line := range bytes.Lines(text) {
		var e entry.Entry
		if err := e.UnmarshalJSON(line); err != nil {
			b.Fatal(err)
		}
		ledger = append(ledger, e)
	}
	for b.Loop() {
		for range 1_300 {
			if _, findings, err := audit.Ledger(ledger, report.Options{}); err != nil || len(findings) > 0 {
				b.Fatal(findings, err)
			}
		}
	}
}
