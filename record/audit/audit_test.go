package audit_test

import (
	"testing"

	"whistlestop/game/rules"
	"whistlestop/internal/demo"
	"whistlestop/internal/locale"
	"whistlestop/internal/proof/whole"
	"whistlestop/record/audit"
	"whistlestop/record/report"
)

// words writes findings as a person reads them.
func words(findings []audit.Finding) (lines []string) {
	for _, f := range findings {
		lines = append(lines, f.ID+": "+say(f.What)+" ["+say(f.Why.Say)+" "+f.Why.Code+" "+f.Why.Rule+"] "+say(f.Right))
	}
	return lines
}

// say writes a sentence in English.
func say(s rules.Say) string { return locale.English().Text(s.Key, s.Args) }

// TestTheDemoAddsUp: the invented game was entered right.
func TestTheDemoAddsUp(t *testing.T) {
	for _, moment := range demo.Moments() {
		ledger, err := demo.Ledger(moment, 1_800_000_000_000)
		if err != nil {
			t.Fatal(err)
		}
		_, findings, err := audit.Ledger(ledger, report.Options{})
		if err != nil {
			t.Fatal(err)
		}
		for _, line := range words(findings) {
			t.Errorf("%s: %s", moment, line)
		}
	}
}

func wholeDocument(t testing.TB) report.Document {
	t.Helper()
	d, err := report.Build(whole.Game(t), report.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// TestWholeGameAddsUp: a game that was entered right has no finding.
func TestWholeGameAddsUp(t *testing.T) {
	findings, err := audit.Check(audit.SheetOf(wholeDocument(t)))
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range words(findings) {
		t.Error(line)
	}
}
