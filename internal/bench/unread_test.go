package bench

import (
	"context"
	"errors"
	"sync/atomic"
	"testing"
	"testing/synctest"

	"whistlestop/game/entry"
	"whistlestop/internal/store/memory"
)

// unread is a log of which one game cannot be read while it is said so.
type unread struct {
	Log
	game string
	now  atomic.Bool
}

func (u *unread) Load(ctx context.Context, game string) ([]entry.Entry, error) {
	if game == u.game && u.now.Load() {
		return nil, errors.New("a page is damaged")
	}
	return u.Log.Load(ctx, game)
}

func (u *unread) Append(ctx context.Context, game string, entries []entry.Entry) error {
	if game == u.game && u.now.Load() {
		return errors.New("input/output error")
	}
	return u.Log.Append(ctx, game, entries)
}

// A game that is played while its disk goes wrong is named in the list, and the
// others stay in it.
func TestAGameWhoseDiskFailsIsNamedInTheList(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		log := &unread{Log: season(t, 2), game: gameID}
		tb := &table{t: t, log: log}
		tb.count = 500
		tb.start()
		tb.post(entry.ClockStarted{})
		log.now.Store(true)
		if _, err := tb.bench.Post(t.Context(), gameID, []entry.Entry{tb.draft(entry.ClockStopped{})}); err == nil {
			t.Error("a post was taken that the disk did not keep")
		}
		titles, err := tb.bench.Games(t.Context())
		if err != nil || len(titles) != 3 {
			t.Fatalf("%d titles, %v", len(titles), err)
		}
		for _, title := range titles {
			if title.Damaged != (title.ID == gameID) {
				t.Errorf("%s is damaged: %v", title.ID, title.Damaged)
			}
		}
		log.now.Store(false)
		if _, err := tb.bench.Post(t.Context(), gameID, []entry.Entry{tb.draft(entry.ClockStopped{})}); err != nil {
			t.Errorf("the disk works again: %v", err)
		}
	})
}

// A game that cannot be read is named in the list, whether somebody asked for it
// before or not, and the list has the others.
func TestAGameThatCannotBeReadIsNamedInTheList(t *testing.T) {
	for _, asked := range []bool{false, true} {
		synctest.Test(t, func(t *testing.T) {
			log := &unread{Log: season(t, 3), game: gameNumber(1)}
			log.now.Store(true)
			tb := &table{t: t, log: log}
			tb.start()
			if asked {
				if _, err := tb.bench.State(t.Context(), log.game); err == nil {
					t.Error("it was read")
				}
			}
			titles, err := tb.bench.Games(t.Context())
			if err != nil || len(titles) != 4 {
				t.Fatalf("asked before %v: %d titles, %v", asked, len(titles), err)
			}
			for _, title := range titles {
				if title.Damaged != (title.ID == log.game) {
					t.Errorf("asked before %v: %s is damaged: %v", asked, title.ID, title.Damaged)
				}
			}
		})
	}
}

// Whoever has the clocks of all games looked at is told when that did not come to
// its end: until it did, the record of the time before stays what counts.
func TestJudgingThatDoesNotComeToItsEnd(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		tb := &table{t: t, log: season(t, 3)}
		tb.start()
		if err := tb.bench.JudgeAll(t.Context()); err != nil {
			t.Errorf("all could be read: %v", err)
		}
		tb.bench.Close()
		if err := tb.bench.JudgeAll(t.Context()); err == nil {
			t.Error("a bench that closes got through")
		}
		log := &unread{Log: memory.New()}
		tb = sit(t, log)
		tb.post(period(1, 15))
		tb.post(entry.ClockStarted{})
		tb.restart()
		stopped, cancel := context.WithCancel(t.Context())
		cancel()
		if err := tb.bench.JudgeAll(stopped); !errors.Is(err, context.Canceled) {
			t.Errorf("it was stopped: %v", err)
		}
	})
}
