package bench

import (
	"crypto/ed25519"
	"errors"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/record/seal"
)

// A report is closed when the game is over and somebody signed; what is not there
// needs a reason. What is closed is closed again only when something came after.
func TestWhenAReportCanBeClosed(t *testing.T) {
	key := seal.Key(ed25519.NewKeyFromSeed(make([]byte, ed25519.SeedSize)))
	inBubble(t, func(t *testing.T, tb *table) {
		try := func(when, missing, refused string) {
			t.Helper()
			entries := len(tb.ledger())
			_, sealed, err := tb.bench.Seal(t.Context(), gameID, missing, Poster{Name: "Ada Quill"}, key)
			var said *Problem
			switch {
			case refused == "" && (err != nil || sealed.Kind() != entry.KindSealed || len(tb.ledger()) != entries+1 || !tb.state().Book.Sealed):
				t.Errorf("%s: %v, sealed %v", when, err, tb.state().Book.Sealed)
			case refused != "" && (!errors.As(err, &said) || len(said.Refused) != 1 || said.Refused[0].Say.Key != refused || len(tb.ledger()) != entries):
				t.Errorf("%s: %v, want %s", when, err, refused)
			}
		}
		tb.post(period(1, 15))
		try("in the game", "no time", "bench.seal_not_over")
		tb.post(entry.StageBegun{Stage: entry.Stage{Kind: entry.Over}})
		try("nobody signed", "", "bench.seal_unsigned")
		try("only spaces say why", "  ", "bench.seal_unsigned")
		tb.post(entry.Signed{Role: "scorer", Name: "Ada Quill", Code: "1234"})
		tb.post(entry.Penalty{Side: entry.Home, Call: "tripping", Parts: []entry.Part{entry.Minor}})
		try("a number is owed", "", "bench.seal_owed")
		try("a number is owed, and why", "nobody saw it", "")
		try("again", "nobody saw it", "bench.seal_done")
		tb.post(entry.Note{Text: "after the seal"})
		tb.post(entry.Goal{Side: entry.Home, Scorer: "7"})
		try("a goal came after it", "nobody saw it", "")
	})
}
