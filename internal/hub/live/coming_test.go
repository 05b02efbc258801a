package live_test

import (
	"log/slog"
	"reflect"
	"testing"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/live"
	"whistlestop/internal/web/sse"
)

// followed is a game with one line and somebody who follows it.
func followed(t *testing.T) (*shelf, *live.Games, *live.Follower) {
	t.Helper()
	s := begun(t)
	games := live.New(live.Config{
		Store: s, Association: "harbour", Now: func() entry.Millis { return 1_790_000_000_000 }, Logger: slog.New(slog.DiscardHandler),
		Later: func(_ time.Duration, do func()) { do() },
	})
	t.Cleanup(games.Close)
	f, err := games.Follow(t.Context(), game, "", 0)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(f.Close)
	sees(t, f, 1)
	return s, games, f
}

// sees is what a follower gets next; 0: nothing.
func sees(t *testing.T, f *live.Follower, want int) sse.Chunk {
	t.Helper()
	frame, on, err := f.Next()
	if err != nil || !on || frame.Seq != want {
		t.Fatalf("entry %d, %v, %v, want entry %d", frame.Seq, on, err, want)
	}
	return frame.Begin
}

// What lines make of a game is worked out while the disk writes them, is shown when the
// store has them and not before, and is what is worked out otherwise.
func TestWhatComesIsWorkedOutBefore(t *testing.T) {
	shown := func(before bool) sse.Chunk {
		s, games, f := followed(t)
		was := *s.lines.Load()
		s.put(t, "01JD0000000000000000000002", entry.Shots{Side: entry.Home, Count: 7})
		line := (*s.lines.Load())[1]
		if before {
			s.lines.Store(&was)
			games.Coming(game, []ledgers.Line{line})
			sees(t, f, 0)
			games.Moved(game) // somebody else's reason to look: the store has no more yet
			sees(t, f, 0)
			games.Coming(game, []ledgers.Line{line})
			all := append(was[:1:1], ledgers.Line{Seq: 2, Prev: line.Prev, Hash: line.Hash, Bytes: []byte("not read again")})
			s.lines.Store(&all)
		}
		games.Moved(game)
		return sees(t, f, 2)
	}
	if got, want := shown(true), shown(false); !reflect.DeepEqual(got, want) {
		t.Error("another change is sent than where nothing was worked out before")
	}
}

// Where the store took other lines than those that were on their way, its own are shown.
func TestWhatComesIsNotShownWhereOtherLinesStand(t *testing.T) {
	for name, other := range map[string]entry.Shots{"another line": {Side: entry.Visitors, Count: 3}, "a line of no game": {}} {
		t.Run(name, func(t *testing.T) {
			s, games, f := followed(t)
			was := *s.lines.Load()
			s.put(t, "01JD0000000000000000000002", entry.Shots{Side: entry.Home, Count: 7})
			never := (*s.lines.Load())[1]
			if other.Count == 0 {
				never.Prev = "a line that is not here"
			}
			s.lines.Store(&was)
			games.Coming(game, []ledgers.Line{never})
			s.put(t, "01JD0000000000000000000003", entry.Shots{Side: entry.Visitors, Count: 3})
			games.Moved(game)
			got := sees(t, f, 2)
			plain, again, g := followed(t)
			plain.put(t, "01JD0000000000000000000003", entry.Shots{Side: entry.Visitors, Count: 3})
			again.Moved(game)
			if want := sees(t, g, 2); !reflect.DeepEqual(got, want) {
				t.Error("another change is sent than where nothing was on its way")
			}
		})
	}
}
