package hubtest

import (
	"errors"
	"slices"
	"testing"

	"whistlestop/internal/hub/ledgers"
)

func testNames(t *testing.T, s Store) {
	has := func(at ledgers.Where, want ...ledgers.Name) {
		t.Helper()
		got, err := s.Names(t.Context(), at)
		if err != nil || !slices.Equal(got, want) {
			t.Fatalf("%v, %v, want %v", got, err, want)
		}
	}
	done := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	named := func(association string, want ...string) {
		t.Helper()
		if games, err := s.NamedGames(t.Context(), association); err != nil || !slices.Equal(games, want) {
			t.Fatalf("games with names: %v, %v, want %v", games, err, want)
		}
	}
	named(Ours)
	other := ledgers.Where{Association: Theirs, Game: Game}
	a, b, c := ledgers.Name{Commitment: "#a", Naming: "name", Text: "Robin Ashdown"}, ledgers.Name{Commitment: "#b", Naming: "initial", Text: "Alex M."},
		ledgers.Name{Commitment: "#c", Naming: "name", Text: "Kim Marlowe"}
	if err := s.KeepNames(t.Context(), At, []ledgers.Name{a}); !errors.Is(err, ledgers.ErrNoGame) {
		t.Errorf("names of a game that is not there: %v", err)
	}
	done(s.ForgetNames(t.Context(), At, []string{"#a"}))
	send(t, s, Chain("a", nil, 1))
	done(s.KeepNames(t.Context(), At, []ledgers.Name{b, a}))
	has(At, a, b)
	done(s.KeepNames(t.Context(), At, []ledgers.Name{c, b})) // these, and no others
	has(At, b, c)
	named(Ours, Game)
	named(Theirs)
	has(other)
	done(s.ForgetNames(t.Context(), other, []string{"#b"}))
	forget := func(association string, want ...string) {
		t.Helper()
		if games, err := s.ForgetNaming(t.Context(), association, "initial"); err != nil || !slices.Equal(games, want) {
			t.Errorf("%v, %v, want %v", games, err, want)
		}
	}
	forget(Theirs)
	if err := s.KeepNames(t.Context(), other, nil); !errors.Is(err, ledgers.ErrNoGame) {
		t.Errorf("names of another association's game: %v", err)
	}
	has(At, b, c)
	forget(Ours, Game)
	forget(Ours)
	has(At, c)
	done(s.ForgetNames(t.Context(), At, []string{"#x", "#c", "#c"}))
	has(At)
	named(Ours)
}
