package web_test

import (
	"net/http"
	"strings"
	"testing"
)

// TestLedgerAfter: whoever keeps a copy asks for what is new only, and the
// pieces are the ledger (reliability plan F3: heads are held by the seats).
func TestLedgerAfter(t *testing.T) {
	s := newServer(t, built)
	for range 4 {
		if answer := do(s, post(gamePath+"/entries", saw(0, entryJSON(nextID(), "note", `{"text":"x"}`)))); answer.Code != http.StatusOK {
			t.Fatalf("%d %s", answer.Code, answer.Body)
		}
	}
	whole := do(s, get(gamePath+"/ledger.jsonl")).Body.String()
	lines := strings.SplitAfter(strings.TrimSuffix(whole, "\n"), "\n")
	for after, want := range map[string]int{"0": 5, "1": 4, "4": 1, "5": 0, "99": 0} {
		answer := do(s, get(gamePath+"/ledger.jsonl?after="+after))
		got := answer.Body.String()
		entries := strings.Count(got, `"seq":`) // the texts beside them are no entries
		if answer.Code != http.StatusOK || entries != want || want == 5 && got != whole || want == 0 && got != "" {
			t.Errorf("after %s: %d, %d lines, want %d of\n%s", after, answer.Code, strings.Count(got, "\n"), want, lines)
		}
	}
	for _, after := range []string{"-1", "x", "1.5", "99999999999999999999"} {
		answer := do(s, get(gamePath+"/ledger.jsonl?after="+after))
		if answer.Code != http.StatusBadRequest || !strings.Contains(answer.Body.String(), "whole number") {
			t.Errorf("after %s: %d %s", after, answer.Code, answer.Body)
		}
	}
}
