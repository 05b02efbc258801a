package rules_test

import (
	"encoding/json"
	"path/filepath"
	"testing"

	"pgregory.net/rapid"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// TestGrowingIsFold: whichever beginnings of a ledger are folded one after the other,
// also after a copy went on with something else, each is what it is by itself.
func TestGrowingIsFold(t *testing.T) {
	files, err := filepath.Glob("testdata/golden/*.jsonl")
	if err != nil || len(files) == 0 {
		t.Fatal("no golden games", err)
	}
	same := func(t *rapid.T, grown *rules.Growing, ledger []entry.Entry) {
		state, err := grown.Fold(ledger)
		if err != nil {
			t.Fatal(err)
		}
		if raw, err := json.Marshal(state); err != nil || string(raw) != whole(t, ledger) {
			t.Fatalf("of %d entries: another state than that of the whole (%v)", len(ledger), err)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		ledger := readLedger(nilTB{}, rapid.SampledFrom(files).Draw(t, "file"))
		for i := range ledger {
			ledger[i].Prev = "" // as a script's answer has it
		}
		var grown rules.Growing
		for range rapid.IntRange(1, 8).Draw(t, "folds") {
			n := rapid.IntRange(1, len(ledger)).Draw(t, "entries")
			same(t, &grown, ledger[:n])
			if rapid.Bool().Draw(t, "tried") {
				trial, last := grown.Copy(), ledger[len(ledger)-1]
				other := append(ledger[:len(ledger):len(ledger)], last)
				other[len(other)-1].ID, other[len(other)-1].Of, other[len(other)-1].Body = id26(len(other)+500), "", entry.Note{Text: "Tried."}
				other[len(other)-1].Seq = len(other)
				same(t, &trial, other)
			}
		}
		same(t, &grown, ledger)
	})
	if _, err := new(rules.Growing).Fold(nil); err == nil {
		t.Error("an empty ledger is folded")
	}
}
