package sqlite

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/store/storetest"
)

// S15: at every break and at a seal the write-ahead log is taken into the
// database. If the log is lost after that, the game is whole up to the break.
func TestBreaksAndSealsAreInTheDatabase(t *testing.T) {
	for name, body := range map[string]entry.Body{
		"an intermission": entry.StageBegun{Stage: entry.Stage{Kind: entry.Intermission, Number: 1}, Length: 60_000},
		"the end":         entry.StageBegun{Stage: entry.Stage{Kind: entry.Over}},
		"a seal":          entry.Sealed{Version: 1, Head: hash64, Key: "a2V5", Signature: "c2ln"},
		"a note":          nil,
	} {
		folder, ctx := t.TempDir(), context.Background()
		s, err := Open(ctx, folder)
		if err != nil {
			t.Fatal(err)
		}
		chain := storetest.Chain(storetest.Game(1), nil, 5)
		if body != nil {
			chain[4].Body = body
		}
		for _, e := range chain {
			if err := s.Append(ctx, e.Game, []entry.Entry{e}); err != nil {
				t.Fatal(err)
			}
		}
		database, err := os.ReadFile(filepath.Join(folder, fileName))
		if err != nil {
			t.Fatal(err)
		}
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
		alone := t.TempDir()
		if err := os.WriteFile(filepath.Join(alone, fileName), database, 0o600); err != nil {
			t.Fatal(err)
		}
		if s, err = Open(ctx, alone); err != nil {
			t.Fatal(err)
		}
		ledger, err := s.Load(ctx, storetest.Game(1))
		if want := map[bool]int{true: 5, false: 0}[body != nil]; err != nil || len(ledger) != want {
			t.Errorf("%s: %d entries without the log, want %d (%v)", name, len(ledger), want, err)
		}
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	}
}

const hash64 = "00000000000000000000000000000000000000000000000000000000000000aa"
