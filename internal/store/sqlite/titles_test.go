package sqlite_test

import (
	"context"
	"testing"

	"whistlestop/internal/store/storetest"
)

// TestTitlesCountWhileTheGameIsAsItWas: what was kept for the list is there after a
// restart, until the game goes on.
func TestTitlesCountWhileTheGameIsAsItWas(t *testing.T) {
	ctx, folder, game := context.Background(), t.TempDir(), storetest.Game(1)
	s := open(t, folder)
	chain := storetest.Chain(game, nil, 4)
	if err := s.Append(ctx, game, chain[:3]); err != nil {
		t.Fatal(err)
	}
	keep := func(seq int, text string) {
		t.Helper()
		if err := s.KeepTitle(ctx, game, seq, []byte(text)); err != nil {
			t.Fatal(err)
		}
	}
	has := func(when, want string) {
		t.Helper()
		titles, err := s.Titles(ctx)
		if err != nil || string(titles[game]) != want {
			t.Errorf("%s: %q, %v", when, titles, err)
		}
	}
	keep(2, "too old")
	has("of an older ledger", "")
	keep(3, "three")
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	s = open(t, folder)
	has("after a restart", "three")
	if err := s.Append(ctx, game, chain[3:]); err != nil {
		t.Fatal(err)
	}
	has("the game went on", "")
	keep(4, "four")
	has("kept again", "four")
	keep(9, "of no such entry")
	has("kept for a ledger that is not there", "four")
}
