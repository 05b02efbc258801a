package report_test

import (
	"encoding/json"
	"reflect"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/demo"
	"whistlestop/record/report"
)

// TestReportComesBackFromJSON also holds for reports of games that go on, in which
// something is owed.
func TestReportComesBackFromJSON(t *testing.T) {
	for _, moment := range demo.Moments() {
		ledger, err := demo.Ledger(moment, 1_773_518_400_000)
		if err != nil {
			t.Fatal(err)
		}
		last := ledger[len(ledger)-1]
		last.ID, last.Seq, last.Body = "01JD0000000000000000000000", last.Seq+1, entry.Goal{Side: entry.Home}
		d, err := report.Build(append(ledger, last), report.Options{})
		if err != nil {
			t.Fatal(err)
		}
		raw, err := json.Marshal(d)
		if err != nil {
			t.Fatal(err)
		}
		var back report.Document
		if err := json.Unmarshal(raw, &back); err != nil {
			t.Fatalf("%s: %v", moment, err)
		}
		if !reflect.DeepEqual(d, back) {
			t.Errorf("%s: another report came back", moment)
		}
		if len(d.Owed) == 0 {
			t.Errorf("%s: the scorer is not owed", moment)
		}
	}
}
