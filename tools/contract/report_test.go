package main

import (
	"encoding/json"
	"strings"
	"testing"

	"whistlestop/internal/proof/papertest"
)

// TestReportSchema holds that real reports are taken, with everything that a book
// keeps, and that what is not a report is refused.
func TestReportSchema(t *testing.T) {
	schema := resolve(t, Report(define(t)))
	for name, ledger := range map[string]any{
		"game": papertest.Report(t, papertest.Game(t), ""), "unkind": papertest.Report(t, papertest.Unkind(t), ""),
	} {
		raw, err := json.Marshal(ledger)
		if err != nil {
			t.Fatal(err)
		}
		if err := schema.Validate(value(t, raw)); err != nil {
			t.Errorf("%s is refused: %v", name, err)
		}
	}
	raw, err := json.Marshal(papertest.Report(t, papertest.Game(t), ""))
	if err != nil {
		t.Fatal(err)
	}
	for what, change := range map[string][2]string{
		"a form of times that does not exist": {`"times":"elapsed"`, `"times":"both"`},
		"a misspelt field":                    {`"finished":`, `"finisched":`},
		"a class that does not exist":         {`"class":"power_play"`, `"class":"lucky"`},
		"a fingerprint that is a number":      {`"fingerprint":"`, `"fingerprint":7,"key":"`},
	} {
		changed := strings.Replace(string(raw), change[0], change[1], 1)
		if changed == string(raw) {
			t.Errorf("%s: nothing was changed", what)
		}
		if schema.Validate(value(t, []byte(changed))) == nil {
			t.Errorf("%s is accepted", what)
		}
	}
}
