package report_test

import (
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/proof/whole"
	"whistlestop/record/report"
)

// What was drawn is that of the newest change that stands, whichever of the
// entries it names.
func TestWhatWasDrawnIsWhatStands(t *testing.T) {
	b := whole.Open(t, "harbour-u12", entry.Team{Name: "Kelp Bay"}, entry.Team{Name: "Lanternside"})
	drawn := func() string {
		t.Helper()
		d, err := report.Build(b.Ledger, report.Options{})
		if err != nil || len(d.Signatures) != 1 {
			t.Fatal(d.Signatures, err)
		}
		return d.Signatures[0].Drawing
	}
	sign := func(drawing string) entry.Signed {
		return entry.Signed{Role: entry.Referee, Name: "Invented Referee", Drawing: drawing}
	}
	signed := b.Post(sign("M1 1L9 9"))
	change := b.Of(signed, entry.Amended{To: sign("M2 2L9 9")})
	again := b.Of(change, entry.Amended{To: sign("M3 3L9 9")})
	if got := drawn(); got != "M3 3L9 9" {
		t.Errorf("after a change of a change: %q", got)
	}
	b.Of(again, entry.Struck{})
	if got := drawn(); got != "M2 2L9 9" {
		t.Errorf("after a change was taken back: %q", got)
	}
	b.Of(change, entry.Struck{})
	if got := drawn(); got != "M1 1L9 9" {
		t.Errorf("after all changes were taken back: %q", got)
	}
}
