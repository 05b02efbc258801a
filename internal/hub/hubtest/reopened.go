package hubtest

import (
	"testing"

	"whistlestop/internal/hub/ledgers"
)

func testReopened(t *testing.T, s Store) {
	if _, err := s.Append(t.Context(), At, 1, Chain("a", nil, 3), 7); err != nil {
		t.Fatal(err)
	}
	for _, versions := range []int{1, 1, 2} {
		if err := s.Reopen(t.Context(), At, versions, note("reopened")); err != nil {
			t.Fatal(err)
		}
	}
	if got, err := s.Reopened(t.Context(), Ours); err != nil || len(got) != 1 || got[Game] != 2 {
		t.Error(got, err)
	}
	if got, err := s.Reopened(t.Context(), Theirs); err != nil || len(got) != 0 {
		t.Error(got, err)
	}
	if err := s.Reopen(t.Context(), ledgers.Where{Association: Theirs, Game: Game}, 1, note("reopened")); err == nil {
		t.Error("a game of others was reopened")
	}
}
