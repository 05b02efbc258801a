package hubtest

import (
	"errors"
	"fmt"
	"slices"
	"testing"

	"whistlestop/internal/hub/ledgers"
)

// without are lines in the places of which others stand: their bytes are not those that
// were hashed.
func without(lines []ledgers.Line, places ...int) []ledgers.Line {
	lines = slices.Clone(lines)
	for _, place := range places {
		line := &lines[place-1]
		line.Bytes, line.Stands = fmt.Appendf(nil, "instead of %s", line.ID), "stands-"+line.ID
		if place%2 == 0 {
			line.Fingerprint = "print-" + line.ID
		}
	}
	return lines
}

func testOlder(t *testing.T, s Store) {
	is := func(at ledgers.Where, want ...ledgers.Line) {
		t.Helper()
		var list []ledgers.Older
		for _, line := range want {
			list = append(list, ledgers.Older{Hash: line.Hash, Stands: line.Stands, Fingerprint: line.Fingerprint})
		}
		slices.SortFunc(list, func(a, b ledgers.Older) int {
			if a.Hash < b.Hash {
				return -1
			}
			return 1
		})
		got, err := s.OlderLines(t.Context(), at)
		if err != nil || !slices.Equal(got, list) {
			t.Fatalf("%v, %v, want %v", got, err, list)
		}
	}
	is(At)
	chain := without(Chain("a", nil, 6), 1, 2, 4)
	send(t, s, chain[:1]) // one line and many take different ways
	is(At, chain[0])
	for range 3 {
		send(t, s, chain)
		is(At, chain[0], chain[1], chain[3])
	}
	got, err := s.Lines(t.Context(), At, 0, 100)
	if err != nil || len(got) != 6 {
		t.Fatal(got, err)
	}
	for i, line := range got {
		if string(line.Bytes) != string(chain[i].Bytes) || line.Hash != chain[i].Hash || line.Stands != "" {
			t.Errorf("line %d is %+v", i+1, line)
		}
	}
	// The same lines as another program sends them, with others in their bytes, are there.
	if head := send(t, s, Chain("a", nil, 6)); head.Seq != 6 || head.Forked {
		t.Errorf("%+v", head)
	}
	// A fork is found by the hashes, and its lines are known on the branch and after a choice.
	other := without(then(chain[:3], "b", 2), 5)
	var fork *ledgers.ForkError
	if _, err := s.Append(t.Context(), At, 1, other, 7); !errors.As(err, &fork) || fork.Seq != 4 {
		t.Fatal(err)
	}
	is(At, chain[0], chain[1], chain[3], other[4])
	if _, err := s.Choose(t.Context(), At, 1, note("chose")); err != nil {
		t.Fatal(err)
	}
	is(At, chain[0], chain[1], chain[3], other[4])
	is(ledgers.Where{Association: Theirs, Game: Game})
	is(ledgers.Where{Association: Ours, Game: "01JD0000000000000000GAME02"})
}

func testOlderNames(t *testing.T, s Store) {
	forget := func(association string, want ...string) {
		t.Helper()
		if games, err := s.ForgetOlder(t.Context(), association); err != nil || !slices.Equal(games, want) {
			t.Errorf("%v, %v, want %v", games, err, want)
		}
	}
	forget(Ours)
	send(t, s, Chain("a", nil, 1))
	inside := ledgers.Name{Commitment: "#a", Naming: "name", Text: "Robin Ashdown", Older: true}
	beside := ledgers.Name{Commitment: "#b", Naming: "name", Text: "Alex Marlowe"}
	if err := s.KeepNames(t.Context(), At, []ledgers.Name{inside, beside}); err != nil {
		t.Fatal(err)
	}
	forget(Theirs)
	for _, want := range [][]ledgers.Name{{inside, beside}, {beside}, {beside}} {
		if got, err := s.Names(t.Context(), At); err != nil || !slices.Equal(got, want) {
			t.Errorf("%v, %v, want %v", got, err, want)
		}
		if len(want) == 2 {
			forget(Ours, Game)
		} else {
			forget(Ours)
		}
	}
}
