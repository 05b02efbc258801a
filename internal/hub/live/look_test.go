package live_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"log/slog"
	"sync/atomic"
	"testing"
	"time"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/live"
)

// shelf is a store with one game, which cannot be asked at times.
type shelf struct {
	live.Store
	away  atomic.Int32 // which question from now on fails
	read  atomic.Int32 // how often lines were asked for
	lines atomic.Pointer[[]ledgers.Line]
}

var errAway = errors.New("the database is away")

func (s *shelf) asked() ([]ledgers.Line, error) {
	if s.away.Add(-1) == 0 {
		return nil, errAway
	}
	return *s.lines.Load(), nil
}

func (s *shelf) News(ctx context.Context, at ledgers.Where, after, most int) (news ledgers.News, err error) {
	lines, err := s.asked()
	if err != nil {
		return news, err
	}
	s.read.Add(1)
	return ledgers.News{
		Head: ledgers.Head{Epoch: 1, Seq: len(lines), Hash: lines[len(lines)-1].Hash}, First: lines[0].Hash,
		Lines: next(lines, after, most),
	}, nil
}

func (s *shelf) Lines(_ context.Context, _ ledgers.Where, after, most int) ([]ledgers.Line, error) {
	s.read.Add(1)
	lines, err := s.asked()
	if err != nil {
		return nil, err
	}
	return next(lines, after, most), nil
}

// next is a line after a place: fewer than are asked for, so that a few lines take as many
// questions as thousands.
func next(lines []ledgers.Line, after, most int) []ledgers.Line {
	return lines[after:min(len(lines), after+min(most, 1))]
}

func (s *shelf) Title(context.Context, ledgers.Where, int, string) ([]byte, error) { return nil, nil }

// begun has one line.
func begun(t *testing.T) *shelf {
	t.Helper()
	division, err := json.Marshal(rulebook.Divisions()[0])
	if err != nil {
		t.Fatal(err)
	}
	s := &shelf{}
	s.put(t, "01JD0000000000000000000001", entry.GameOpened{Division: division, Home: entry.Team{Name: "Kelp Bay"}, Visitors: entry.Team{Name: "Millrace"}})
	return s
}

const game = "01JD0000000000000000GAME01"

// put puts an entry at the end.
func (s *shelf) put(t *testing.T, id string, body entry.Body) {
	t.Helper()
	var lines []ledgers.Line
	e := entry.Entry{ID: id, Game: game, Seq: 1, Wall: 1_790_000_000_000, Seat: entry.Solo, Body: body}
	if before := s.lines.Load(); before != nil {
		lines = append(lines, *before...)
		e.Seq, e.Prev = len(lines)+1, lines[len(lines)-1].Hash
	}
	raw, err := e.MarshalJSON()
	if err != nil {
		t.Fatal(err)
	}
	hash, err := e.Hash()
	if err != nil {
		t.Fatal(err)
	}
	lines = append(lines, ledgers.Line{Seq: e.Seq, ID: id, Prev: e.Prev, Hash: hash, Bytes: raw})
	s.lines.Store(&lines)
}

// Nobody says a second time that a line came in: a database that is away just then is asked
// until it answers, wherever in the questions it went away, and whoever follows stays.
func TestADatabaseThatIsAwayIsAskedAgain(t *testing.T) {
	s := begun(t)
	games := live.New(live.Config{
		Store: s, Association: "harbour", Now: func() entry.Millis { return 1_790_000_000_000 }, Logger: slog.New(slog.DiscardHandler),
		Later: func(_ time.Duration, do func()) { go do() },
	})
	defer games.Close()
	f, err := games.Follow(t.Context(), game, "", 0)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	seen := func(want int) {
		t.Helper()
		for {
			<-f.News()
			frame, on, err := f.Next()
			if err != nil || !on {
				t.Fatalf("the stream ended: %v", err)
			}
			if frame.Seq == want {
				return
			}
		}
	}
	seen(1)
	for failing := range 3 { // of the three that are asked for three lines
		for i := range 3 {
			s.put(t, fmt.Sprintf("01JD00000000000000000000%02d", 2+3*failing+i), entry.Shots{Side: entry.Home, Count: 1})
		}
		s.away.Store(int32(failing + 1))
		games.Moved(game)
		seen(4 + 3*failing)
	}
}
