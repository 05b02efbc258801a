package audit_test

import (
	"encoding/json"
	"testing"

	"whistlestop/record/audit"
	"whistlestop/record/report"
)

// FuzzReport: whatever a report says, it is audited or refused.
func FuzzReport(f *testing.F) {
	raw, err := json.Marshal(wholeDocument(f))
	if err != nil {
		f.Fatal(err)
	}
	f.Add(raw)
	f.Add([]byte(`{"version":1}`))
	f.Fuzz(func(t *testing.T, raw []byte) {
		d, err := report.Read(raw)
		if err != nil {
			return
		}
		if _, err := audit.Check(audit.SheetOf(d)); err != nil {
			t.Skip(err)
		}
	})
}
