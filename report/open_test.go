package report_test

import (
	"errors"
	"testing"

	"whistlestop/internal/openplay"
	"whistlestop/report"
)

func TestAuditOfOpenData(t *testing.T) {
	games, err := openplay.Read(openplay.Folder())
	if errors.Is(err, openplay.ErrNone) {
		t.Skip("SKIPPED:", err)
	} else if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, game := range games {
		findings, err := report.Audit(game.Sheet())
		if err != nil {
			t.Fatal(err)
		}
		n += len(findings)
		for i, line := range words(findings) {
			t.Logf("%s %d: %s", game.ID, findings[i].Where.Row, line)
		}
	}
	t.Logf("games audited: %d, findings: %d", len(games), n)
}
