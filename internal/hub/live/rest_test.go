package live_test

import (
	"fmt"
	"log/slog"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/live"
)

// After a catch-up thousands of games are there that nobody follows: what was worked out of
// them is let go, those first that nobody asked for longest. Lists have their titles all the
// same, whoever follows one has it worked out again, and one that is followed stays.
func TestGamesThatNobodyFollowsAreLetGo(t *testing.T) {
	const many = 600
	s := begun(t)
	games := live.New(live.Config{Store: s, Association: "harbour", Now: func() entry.Millis { return 1_790_000_000_000 }, Logger: slog.New(slog.DiscardHandler)})
	defer games.Close()
	name := func(i int) string { return fmt.Sprintf("01JD0000000000000000GM%04d", i) }
	news, err := s.News(t.Context(), ledgers.Where{}, 0, 1)
	if err != nil {
		t.Fatal(err)
	}
	title := func(i int) {
		t.Helper()
		if title, known := games.Title(t.Context(), name(i), news.Head); !known || title.Home != "Kelp Bay" {
			t.Errorf("game %d is listed as %+v", i, title)
		}
	}
	follow := func(i, read int) *live.Follower {
		t.Helper()
		before := s.read.Load()
		f, err := games.Follow(t.Context(), name(i), "", 0)
		if err != nil {
			t.Fatal(err)
		}
		if frame, on, err := f.Next(); frame.Seq != 1 || !on || err != nil {
			t.Errorf("game %d: %+v %v %v", i, frame, on, err)
		}
		if got := int(s.read.Load() - before); got != read {
			t.Errorf("game %d was read %d times, want %d", i, got, read)
		}
		return f
	}
	games.Heard(name(0), 0)
	first := follow(0, 1)
	defer first.Close()
	for i := 1; i < many; i++ {
		games.Heard(name(i), 0)
		title(i)
	}
	before := s.read.Load()
	title(1)
	if s.read.Load() != before {
		t.Error("a title is worked out again for a list")
	}
	follow(1, 1).Close()
	follow(many-1, 0).Close()
	follow(0, 0).Close()
	if first.Title().Home != "Kelp Bay" {
		t.Error("a game that is followed was let go")
	}
}
