package bench

import (
	"bytes"
	"crypto/ed25519"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/record/seal"
)

// lines are those of a ledger as a file has them, without what lies beside.
func (tb *table) lines() (raw []byte, texts int) {
	tb.t.Helper()
	for _, e := range tb.ledger() {
		line, err := e.MarshalJSON()
		if err != nil {
			tb.t.Fatal(err)
		}
		raw = append(append(raw, line...), '\n')
		texts += len(e.Names())
	}
	return raw, texts
}

// Names that end are gone from what lies beside the ledger, and nothing else changes: no
// entry, no line, no seal. They do not come back with an older copy.
func TestNamesEndBesideASealedGame(t *testing.T) {
	inBubble(t, func(t *testing.T, tb *table) {
		tb.post(entry.RosterSet{Team: entry.Team{Name: "Kelp Bay", Players: []entry.Player{{Number: "7", Name: "Maren Ashbeck"}}}, Side: entry.Home})
		tb.post(period(1, 15), entry.Goal{Side: entry.Home, Scorer: "7"}, entry.StageBegun{Stage: entry.Stage{Kind: entry.Over}})
		tb.post(entry.Signed{Role: "scorer", Name: "Ada Quill", Code: "1234"}, entry.Note{Text: "Maren Ashbeck was hurt."})
		key := seal.Key(ed25519.NewKeyFromSeed(make([]byte, ed25519.SeedSize)))
		if _, _, err := tb.bench.Seal(t.Context(), gameID, "the coach left", Poster{Name: "Ada Quill"}, key); err != nil {
			t.Fatal(err)
		}
		older := tb.ledger()
		before, texts := tb.lines()
		if texts < 3 || !strings.Contains(string(mustNames(t, older)), "Maren") {
			t.Fatalf("%d texts lie beside: the test shows nothing", texts)
		}
		score, numbers := tb.state().Teams[0].Score, tb.state().Teams[0].Withdrawn
		for range 2 { // once more changes nothing
			if err := tb.bench.EndNames(t.Context(), gameID); err != nil {
				t.Fatal(err)
			}
			after, left := tb.lines()
			if left != 0 || !bytes.Equal(before, after) {
				t.Errorf("%d texts are left, or the lines are other ones", left)
			}
		}
		verdict := seal.Verify(before)
		if verdict.First != nil || len(verdict.Seals) != 1 || verdict.After != 0 || verdict.Out < 3 {
			t.Errorf("%+v", verdict)
		}
		if s := tb.state(); !s.Book.Sealed || s.Teams[0].Score != score || len(s.Teams[0].Withdrawn) != len(numbers) {
			t.Errorf("sealed %v, %v, dashes for %v", s.Book.Sealed, s.Teams[0].Score, s.Teams[0].Withdrawn)
		}
		if _, err := tb.bench.Restore(t.Context(), older, Taking{}); err != nil {
			t.Fatal(err)
		}
		if _, left := tb.lines(); left != 0 {
			t.Errorf("an older copy brought %d texts back", left)
		}
	})
}

func mustNames(t *testing.T, ledger []entry.Entry) (raw []byte) {
	t.Helper()
	for _, e := range ledger {
		for _, n := range e.Names() {
			line, err := n.MarshalJSON()
			if err != nil {
				t.Fatal(err)
			}
			raw = append(raw, line...)
		}
	}
	return raw
}
