package hubtest

import (
	"fmt"
	"slices"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/office"
)

const otherGame = "01JD0000000000000000GAME02"

func testOneGame(t *testing.T, s Store) {
	desk := office.New(s, Ours, func() entry.Millis { return 1000 }, counting{})
	secret, made, err := desk.IssueOneGame(t.Context(), "A phone", 100, office.By{Who: "test"})
	if err != nil {
		t.Fatal(err)
	}
	is := func(game string) {
		t.Helper()
		got, err := desk.Known(t.Context(), office.Bench, secret)
		if err != nil || !got.OneGame || got.Game != game {
			t.Errorf("%+v, %v, want it for %q", got, err, game)
		}
	}
	is("")
	for _, game := range []string{Game, otherGame, Game} {
		if got, err := desk.Bind(t.Context(), made, game, ""); err != nil || got != Game {
			t.Errorf("%s: it is for %q, %v", game, got, err)
		}
		is(Game)
	}
	log, err := s.Log(t.Context(), Ours, 0, 100)
	if err != nil || len(log) != 3 || log[2].What != "bound_bench" || log[2].Who != made.ID || log[2].Object != Game {
		t.Errorf("%+v, %v", log, err)
	}
	// Who may send any game is bound to none.
	any := office.Token{ID: "any", Kind: office.Bench, Made: 1, Expires: 9}
	if err := s.Keep(t.Context(), Ours, any, "hash", note("made")); err != nil {
		t.Fatal(err)
	}
	if got, err := desk.Bind(t.Context(), any, Game, ""); err != nil || got != "" {
		t.Errorf("%q, %v", got, err)
	}
}

func testOneGameRace(t *testing.T, s Store) {
	OneGameRace(t, s, s)
}

// OneGameRace has devices with one link send a game each at one moment, by turns to two
// hubs that are open already: all are told the same game, and it is one of theirs.
func OneGameRace(t *testing.T, hubs ...Store) {
	t.Helper()
	now := func() entry.Millis { return 1000 }
	_, made, err := office.New(hubs[0], Ours, now, counting{}).IssueOneGame(t.Context(), "A phone", 100, office.By{Who: "test"})
	if err != nil {
		t.Fatal(err)
	}
	const devices = 8
	bound, begin := make(chan string, devices), make(chan struct{})
	for i := range devices {
		desk := office.New(hubs[i%len(hubs)], Ours, now, counting{})
		go func() {
			<-begin
			got, err := desk.Bind(t.Context(), made, fmt.Sprint("game", i), "")
			if err != nil {
				t.Error(err)
			}
			bound <- got
		}()
	}
	close(begin)
	var all []string
	for range devices {
		all = append(all, <-bound)
	}
	slices.Sort(all)
	if all = slices.Compact(all); len(all) != 1 || len(all[0]) != len("game0") {
		t.Errorf("the link is for %q", all)
	}
}
