package storetest

import (
	"context"
	"errors"
	"reflect"
	"slices"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/store"
)

// Inside returns a ledger as programs wrote it that kept texts about people
// inside the lines (version 1).
func Inside(chain []entry.Entry) []entry.Entry {
	chain, prev := slices.Clone(chain), ""
	for i := range chain {
		chain[i].Apart, chain[i].Prev = nil, prev
		var err error
		if prev, err = chain[i].Hash(); err != nil {
			panic(err) // it was written before
		}
	}
	return chain
}

// textOf is what a note says.
func textOf(t testing.TB, e entry.Entry) string {
	t.Helper()
	note, ok := e.Body.(entry.Note)
	if !ok {
		t.Fatalf("%s is no note", e.ID)
	}
	return note.Text
}

// without is an entry as a copy has it that was kept without texts.
func without(e entry.Entry) entry.Entry {
	return entry.Know(e, func(entry.Text, string) (entry.Name, bool) { return entry.Name{}, false })
}

func testBeside(t *testing.T, s Store) {
	game, chain := Game(1), Chain(Game(1), nil, 4)
	mustAppend(t, s, game, []entry.Entry{chain[0], chain[1], chain[2], without(chain[3])})
	ledger := mustLoad(t, s, game)
	for i, want := range []entry.Entry{chain[0], chain[1], chain[2], without(chain[3])} {
		if !reflect.DeepEqual(ledger[i], want) {
			t.Errorf("entry %d is %+v, want %+v", i+1, ledger[i], want)
		}
	}
	if got := textOf(t, ledger[3]); got != entry.TakenOut {
		t.Errorf("a text that nobody knows reads %q", got)
	}
	// Another copy knows it; a wrong text is not taken.
	name := chain[3].Names()[0]
	for _, lie := range []entry.Name{
		{Game: game, Commitment: name.Commitment, Random: name.Random, Text: "another"},
		{Game: game, Commitment: name.Commitment, Random: "AAAA", Text: name.Text},
	} {
		if err := s.Learn(context.Background(), game, []entry.Name{lie}); err != nil {
			t.Fatal(err)
		}
	}
	if got := textOf(t, mustLoad(t, s, game)[3]); got != entry.TakenOut {
		t.Errorf("a text was taken that was never committed to: %q", got)
	}
	if err := s.Learn(context.Background(), game, chain[3].Names()); err != nil {
		t.Fatal(err)
	}
	if got := mustLoad(t, s, game)[3]; !reflect.DeepEqual(got, chain[3]) {
		t.Errorf("the text did not come back: %+v", got)
	}
}

func testForget(t *testing.T, s Store) {
	game, chain := Game(1), Chain(Game(1), nil, 5)
	mustAppend(t, s, game, chain[:4])
	name := chain[1].Names()[0]
	if err := s.Forget(context.Background(), game, []string{name.Commitment}, nil, chain[4:]); err != nil {
		t.Fatal(err)
	}
	look := func(when string) {
		t.Helper()
		ledger := mustLoad(t, s, game)
		if err := entry.VerifyChain(ledger); err != nil || len(ledger) != 5 {
			t.Errorf("%s: %d entries, %v", when, len(ledger), err)
		}
		if textOf(t, ledger[1]) != entry.TakenOut || textOf(t, ledger[3]) != textOf(t, chain[3]) {
			t.Errorf("%s: the texts are %q and %q", when, textOf(t, ledger[1]), textOf(t, ledger[3]))
		}
	}
	look("taken out")
	if err := s.Learn(context.Background(), game, chain[1].Names()); err != nil {
		t.Fatal(err)
	}
	look("learnt from an older copy")
	// The same text with the same random bytes, in a new entry.
	again := Chain(game, chain, 1)
	again[0].Apart, again[0].Body = chain[1].Apart, chain[1].Body
	mustAppend(t, s, game, again)
	if got := textOf(t, mustLoad(t, s, game)[1]); got != entry.TakenOut {
		t.Errorf("it came back with an entry: %q", got)
	}
}

func testReplace(t *testing.T, s Store) {
	game, chain := Game(1), Chain(Game(1), nil, 3)
	mustAppend(t, s, game, chain)
	instead, err := entry.Withdraw(chain[2], Random(9))
	if err != nil {
		t.Fatal(err)
	}
	wrong := instead
	wrong.Was = chain[0].Prev + "0000000000000000000000000000000000000000000000000000000000000000"
	gone := []string{instead.Names()[0].Commitment}
	if err := s.Forget(context.Background(), game, gone, []entry.Entry{wrong}, nil); !errors.Is(err, store.ErrMoved) {
		t.Errorf("a line took the place of one that it does not name: %v", err)
	}
	if got := mustLoad(t, s, game)[2]; !reflect.DeepEqual(got, chain[2]) {
		t.Errorf("it was changed all the same: %+v", got)
	}
	if err := s.Forget(context.Background(), game, gone, []entry.Entry{instead}, nil); err != nil {
		t.Fatal(err)
	}
	ledger := mustLoad(t, s, game)
	if err := entry.VerifyChain(ledger); err != nil || textOf(t, ledger[2]) != entry.TakenOut || ledger[2].Was == "" {
		t.Errorf("%+v, %v", ledger[2], err)
	}
	more := Chain(game, ledger, 1)
	mustAppend(t, s, game, more)
	if err := entry.VerifyChain(mustLoad(t, s, game)); err != nil {
		t.Errorf("the next entry: %v", err)
	}
}
