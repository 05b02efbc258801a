package storetest

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"maps"
	"slices"
	"sync"
	"testing"

	"pgregory.net/rapid"

	"whistlestop/game/entry"
	"whistlestop/internal/store"
)

// Store is what a bench needs of a store.
type Store interface {
	Append(ctx context.Context, game string, entries []entry.Entry) error
	Load(ctx context.Context, game string) ([]entry.Entry, error)
	Games(ctx context.Context) ([]string, error)
	Ends(ctx context.Context) (map[string]int, error)
	Learn(ctx context.Context, game string, names []entry.Name) error
	Forget(ctx context.Context, game string, commitments []string, lines, entries []entry.Entry) error
	Close() error
}

// Run runs the suite. open returns a new, empty store for each test.
func Run(t *testing.T, open func(t *testing.T) Store) {
	for _, test := range []struct {
		name string
		run  func(t *testing.T, s Store)
	}{
		{"a game that is not there is empty", testEmpty},
		{"what is appended is loaded, byte for byte", testRoundTrip},
		{"a post is kept whole or not at all", testWhole},
		{"what lies beside a ledger comes back with it", testBeside},
		{"what is taken out stays out, and the chain holds", testForget},
		{"a line takes the place of the one it names, or none is changed", testReplace},
		{"an append that does not follow is refused", testFollows},
		{"an id is known once", testIDs},
		{"an entry of another game is refused", testOtherGame},
		{"games are listed newest first", testGames},
		{"of many appends at one place one wins", testRace},
		{"a cancelled append writes nothing", testCancelled},
		{"any series of appends is as a simple model says", testModel},
	} {
		t.Run(test.name, func(t *testing.T) {
			s := open(t)
			t.Cleanup(func() {
				if err := s.Close(); err != nil {
					t.Errorf("close: %v", err)
				}
			})
			test.run(t, s)
		})
	}
}

// Game returns the id of an invented game.
func Game(n int) string { return fmt.Sprintf("01JD0000000000000000GAME%02d", n) }

// Random returns bytes that stand in for random ones, the same for the same seed.
func Random(seed int) func(text string) []byte {
	return func(text string) []byte {
		sum := sha256.Sum256(fmt.Appendf(nil, "%d %s", seed, text))
		return sum[:]
	}
}

// Chain returns count entries that follow the ledger, numbered and chained.
func Chain(game string, ledger []entry.Entry, count int) []entry.Entry {
	all := slices.Clone(ledger)
	for range count {
		e := entry.Entry{
			ID:   fmt.Sprintf("01JD%s%012d", game[16:], len(all)+1),
			Game: game,
			Seq:  len(all) + 1,
			Wall: 1_700_000_000_000 + entry.Millis(len(all))*1000,
			Seat: entry.Solo,
			Body: entry.Note{Text: fmt.Sprintf("Line %d, with \"quotes\", <marks> and ø.", len(all)+1)},
		}
		if len(all) > 0 {
			prev, err := all[len(all)-1].Hash()
			if err != nil {
				panic(err) // a note can always be written
			}
			e.Prev = prev
		}
		if e.Seq%2 == 0 {
			e = entry.KeepApart(e, Random(e.Seq)) // half of the texts lie beside the ledger
		}
		all = append(all, e)
	}
	return all[len(ledger):]
}

func mustAppend(t testing.TB, s Store, game string, entries []entry.Entry) {
	t.Helper()
	if err := s.Append(context.Background(), game, entries); err != nil {
		t.Fatalf("append: %v", err)
	}
}

func mustLoad(t testing.TB, s Store, game string) []entry.Entry {
	t.Helper()
	ledger, err := s.Load(context.Background(), game)
	if err != nil {
		t.Fatalf("load: %v", err)
	}
	return ledger
}

func testEmpty(t *testing.T, s Store) {
	if ledger := mustLoad(t, s, Game(1)); len(ledger) != 0 {
		t.Errorf("got %d entries", len(ledger))
	}
	games, err := s.Games(context.Background())
	if err != nil || len(games) != 0 {
		t.Errorf("got games %v, %v", games, err)
	}
}

func testRoundTrip(t *testing.T, s Store) {
	game := Game(1)
	entries := Chain(game, nil, 5)
	mustAppend(t, s, game, entries[:2])
	mustAppend(t, s, game, entries[2:])
	ledger := mustLoad(t, s, game)
	if len(ledger) != len(entries) {
		t.Fatalf("got %d entries, want %d", len(ledger), len(entries))
	}
	for i := range entries {
		want, _ := entries[i].MarshalJSON()
		got, err := ledger[i].MarshalJSON()
		if err != nil || string(got) != string(want) {
			t.Errorf("entry %d\n got %s %v\nwant %s", i+1, got, err, want)
		}
	}
	if err := entry.VerifyChain(ledger); err != nil {
		t.Error(err)
	}
}

func testWhole(t *testing.T, s Store) {
	game := Game(1)
	entries := Chain(game, nil, 4)
	mustAppend(t, s, game, entries[:1])
	post := slices.Clone(entries[1:4])
	post[2].ID = entries[0].ID // the last of the post cannot be kept
	if err := s.Append(context.Background(), game, post); !errors.Is(err, store.ErrMoved) {
		t.Fatalf("got %v, want ErrMoved", err)
	}
	if ledger := mustLoad(t, s, game); len(ledger) != 1 {
		t.Fatalf("%d entries are kept, want 1", len(ledger))
	}
	// And the refused post leaves nothing behind that stands in the way.
	mustAppend(t, s, game, entries[1:4])
}

func testFollows(t *testing.T, s Store) {
	game := Game(1)
	entries := Chain(game, nil, 6)
	mustAppend(t, s, game, entries[:3])
	other := Chain(Game(2), nil, 2)
	for name, bad := range map[string]struct {
		game    string
		entries []entry.Entry
	}{
		"again":               {game, entries[2:3]},
		"a gap":               {game, entries[4:5]},
		"the start of a game": {Game(2), other[1:]},
	} {
		if err := s.Append(context.Background(), bad.game, bad.entries); !errors.Is(err, store.ErrMoved) {
			t.Errorf("%s: got %v, want ErrMoved", name, err)
		}
	}
	holed := []entry.Entry{entries[3], entries[5]}
	if err := s.Append(context.Background(), game, holed); err == nil {
		t.Error("a post with a gap inside was kept")
	}
	if err := s.Append(context.Background(), game, nil); err == nil {
		t.Error("an empty post was kept")
	}
	if ledger := mustLoad(t, s, game); len(ledger) != 3 {
		t.Errorf("%d entries are kept, want 3", len(ledger))
	}
}

func testIDs(t *testing.T, s Store) {
	first := Chain(Game(1), nil, 1)
	mustAppend(t, s, Game(1), first)
	second := Chain(Game(2), nil, 1)
	second[0].ID = first[0].ID
	if err := s.Append(context.Background(), Game(2), second); !errors.Is(err, store.ErrMoved) {
		t.Errorf("got %v, want ErrMoved", err)
	}
	if ledger := mustLoad(t, s, Game(2)); len(ledger) != 0 {
		t.Errorf("%d entries are kept, want 0", len(ledger))
	}
}

func testOtherGame(t *testing.T, s Store) {
	if err := s.Append(context.Background(), Game(2), Chain(Game(1), nil, 1)); err == nil {
		t.Error("an entry of game 1 was kept in game 2")
	}
	games, err := s.Games(context.Background())
	if err != nil || len(games) != 0 {
		t.Errorf("got games %v, %v", games, err)
	}
}

func testGames(t *testing.T, s Store) {
	for _, n := range []int{2, 3, 1} {
		entries := Chain(Game(n), nil, 1)
		entries[0].Wall = entry.Millis(1_700_000_000_000 + n)
		mustAppend(t, s, Game(n), entries)
	}
	games, err := s.Games(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	if want := []string{Game(3), Game(2), Game(1)}; !slices.Equal(games, want) {
		t.Errorf("got %v, want %v", games, want)
	}
	mustAppend(t, s, Game(2), Chain(Game(2), Chain(Game(2), nil, 1), 1))
	ends, err := s.Ends(context.Background())
	if want := map[string]int{Game(1): 1, Game(2): 2, Game(3): 1}; err != nil || !maps.Equal(ends, want) {
		t.Errorf("%v, %v", ends, err)
	}
}

func testRace(t *testing.T, s Store) {
	game := Game(1)
	mustAppend(t, s, game, Chain(game, nil, 1))
	const racers = 8
	results := make([]error, racers)
	var group sync.WaitGroup
	for i := range racers {
		group.Go(func() {
			entries := Chain(game, Chain(game, nil, 1), 1)
			entries[0].ID = fmt.Sprintf("01JD00000000000000RACER%03d", i)
			results[i] = s.Append(context.Background(), game, entries)
		})
	}
	group.Wait()
	won := 0
	for i, err := range results {
		switch {
		case err == nil:
			won++
		case !errors.Is(err, store.ErrMoved):
			t.Errorf("racer %d: got %v, want ErrMoved", i, err)
		}
	}
	if won != 1 {
		t.Errorf("%d of %d won", won, racers)
	}
	if ledger := mustLoad(t, s, game); len(ledger) != 2 {
		t.Errorf("%d entries are kept, want 2", len(ledger))
	}
}

func testCancelled(t *testing.T, s Store) {
	game := Game(1)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if err := s.Append(ctx, game, Chain(game, nil, 1)); err == nil {
		t.Error("a cancelled append was reported as done")
	}
	if ledger := mustLoad(t, s, game); len(ledger) != 0 {
		t.Errorf("%d entries are kept, want 0", len(ledger))
	}
	mustAppend(t, s, game, Chain(game, nil, 1))
}

// testModel compares the store with a map of counts: an append is kept exactly
// when it starts at the next number.
func testModel(t *testing.T, s Store) {
	round := 0
	rapid.Check(t, func(t *rapid.T) {
		round++
		kept := map[string]int{}
		for range rapid.IntRange(1, 6).Draw(t, "appends") {
			// Games of their own for each round: the store is the same one.
			game := fmt.Sprintf("01JD00000000000000%04d%04d", round, rapid.IntRange(1, 2).Draw(t, "game"))
			from := kept[game] + rapid.IntRange(-1, 1).Draw(t, "off by")
			if from < 0 {
				from = 0
			}
			count := rapid.IntRange(1, 3).Draw(t, "count")
			entries := Chain(game, nil, from+count)
			err := s.Append(context.Background(), game, entries[from:])
			if (err == nil) != (from == kept[game]) {
				t.Fatalf("append of %d after %d to a ledger of %d: %v", count, from, kept[game], err)
			}
			if err == nil {
				kept[game] += count
			}
		}
		for game, want := range kept {
			ledger, err := s.Load(context.Background(), game)
			if err != nil || len(ledger) != want {
				t.Fatalf("%d entries are kept, want %d: %v", len(ledger), want, err)
			}
		}
	})
}
