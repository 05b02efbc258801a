package bench

import (
	"context"
	"fmt"
	"slices"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/store/memory"
)

// counted is a log that counts what is loaded of it.
type counted struct {
	Log
	mutex sync.Mutex
	loads int
}

func (c *counted) Load(ctx context.Context, game string) ([]entry.Entry, error) {
	c.mutex.Lock()
	c.loads++
	c.mutex.Unlock()
	return c.Log.Load(ctx, game)
}

func (c *counted) count() int {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	return c.loads
}

func gameNumber(n int) string { return fmt.Sprintf("01JD0000000000000000GA%04d", n) }

// season is a log with so many games, each opened and with its period begun.
func season(t *testing.T, count int) *counted {
	t.Helper()
	log := &counted{Log: memory.New()}
	tb := sit(t, log)
	tb.post(period(1, 12))
	first, err := tb.bench.Ledger(t.Context(), gameID)
	if err != nil {
		t.Fatal(err)
	}
	for n := range count {
		ledger := slices.Clone(first)
		for i := range ledger {
			ledger[i].Game, ledger[i].Prev = gameNumber(n), ""
			ledger[i].ID = fmt.Sprintf("01JD0000000000000%04dA%04d", i, n)
		}
		ledger[0].ID = gameNumber(n)
		if err := Chain(nil, ledger); err != nil {
			t.Fatal(err)
		}
		if err := log.Append(t.Context(), gameNumber(n), ledger); err != nil {
			t.Fatal(err)
		}
	}
	tb.bench.Close()
	return log
}

// inMemory counts the games that hold a ledger.
func (tb *table) inMemory() (n int) {
	tb.t.Helper()
	tb.bench.mutex.Lock()
	games := []*game{}
	for _, g := range tb.bench.games {
		games = append(games, g)
	}
	tb.bench.mutex.Unlock()
	for _, g := range games {
		has, err := ask(tb.t.Context(), g, func() (bool, error) { return len(g.ledger) > 0, nil })
		if err != nil {
			tb.t.Fatal(err)
		}
		if has {
			n++
		}
	}
	return n
}

// TestGamesThatNobodyLooksAtLeaveTheMemory: whoever clicks through a season fills
// no memory. A game whose clock runs stays, and so does one that is followed.
func TestGamesThatNobodyLooksAtLeaveTheMemory(t *testing.T) {
	const games = 120
	synctest.Test(t, func(t *testing.T) {
		tb := &table{t: t, log: season(t, games)}
		tb.start()
		defer tb.bench.Close()
		post := func(n int, body entry.Body) {
			draft := tb.draft(body)
			draft.Game, draft.ID = gameNumber(n), fmt.Sprintf("01JE%018d%04d", tb.count, n)
			if _, err := tb.bench.Post(t.Context(), gameNumber(n), []entry.Entry{draft}); err != nil {
				t.Fatal(n, err, refusals(err))
			}
		}
		post(0, entry.ClockStarted{})
		watch, err := tb.bench.Watch(t.Context(), gameNumber(1))
		if err != nil {
			t.Fatal(err)
		}
		post(2, entry.Note{Text: "Posted once."})
		for n := range games {
			if _, err := tb.bench.State(t.Context(), gameNumber(n)); err != nil {
				t.Fatal(err)
			}
		}
		synctest.Wait()
		if n := tb.inMemory(); n > loadedMost || tb.bench.shelf.count() > loadedMost {
			t.Errorf("%d games are in memory, and %d at most should be", n, loadedMost)
		}
		for n, wanted := range map[int]bool{0: true, 1: true, 2: false, games - 1: true} {
			if got := tb.bench.games[gameNumber(n)].loaded; got != wanted {
				t.Errorf("game %d in memory: %v", n, got)
			}
		}
		// What left comes back as it was, and goes on.
		post(2, entry.Note{Text: "Posted twice."})
		u, err := tb.bench.State(t.Context(), gameNumber(2))
		if err != nil || u.State.Seq != 4 {
			t.Error(u.State.Seq, err)
		}
		// The clock that runs ends its period by itself.
		time.Sleep(13 * time.Minute)
		synctest.Wait()
		if u, err := tb.bench.State(t.Context(), gameNumber(0)); err != nil || u.State.Clock.Running || u.State.Clock.Elapsed != 720_000 {
			t.Error("the clock of the game that was on:", u.State.Clock, err)
		}
		watch.Close()
		for n := range games {
			if _, err := tb.bench.State(t.Context(), gameNumber(n)); err != nil {
				t.Fatal(err)
			}
		}
		synctest.Wait()
		if tb.bench.games[gameNumber(1)].loaded || tb.bench.games[gameNumber(1)].watches.count() != 0 {
			t.Error("a game that nobody follows any more stays")
		}
	})
}

// TestTheListAnswersAtOnce: of 300 games few are read before the first answer,
// the others behind it, each once; and none is kept in memory for it.
func TestTheListAnswersAtOnce(t *testing.T) {
	const games = 300
	synctest.Test(t, func(t *testing.T) {
		log := season(t, games)
		tb := &table{t: t, log: log}
		tb.start()
		defer tb.bench.Close()
		before := log.count()
		first, err := tb.bench.Games(t.Context())
		if err != nil || len(first) != games+1 {
			t.Fatal(len(first), err)
		}
		read := 0
		for _, title := range first {
			if !title.Reading {
				read++
				if title.Home != "Kelp Bay" {
					t.Fatalf("%+v", title)
				}
			}
		}
		if read != readAtOnce {
			t.Errorf("%d titles came with the first answer, want %d", read, readAtOnce)
		}
		synctest.Wait()
		all, err := tb.bench.Games(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		for _, title := range all {
			if title.Reading || title.Home != "Kelp Bay" {
				t.Fatalf("%+v", title)
			}
		}
		if loads := log.count() - before; loads != games+1 {
			t.Errorf("%d ledgers were read for %d games", loads, games+1)
		}
		if n := tb.inMemory(); n != 0 {
			t.Errorf("%d games are in memory for a list", n)
		}
	})
}

// TestTheListOfWhatLeftIsTheNewest: the score of a game that left the memory is
// the one that it left with, and is worked out anew once it is back.
func TestTheListOfWhatLeftIsTheNewest(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		log := season(t, 40)
		tb := &table{t: t, log: log}
		tb.start()
		defer tb.bench.Close()
		goal := func(second int) {
			draft := tb.draft(entry.Goal{Side: entry.Home, Scorer: "7"})
			draft.Game, draft.ID, draft.At = gameNumber(0), fmt.Sprintf("01JE%022d", tb.count), entry.At{Period: 1, Elapsed: entry.Millis(second) * 1000}
			if _, err := tb.bench.Post(t.Context(), gameNumber(0), []entry.Entry{draft}); err != nil {
				t.Fatal(err, refusals(err))
			}
		}
		score := func() int {
			titles, err := tb.bench.Games(t.Context())
			if err != nil {
				t.Fatal(err)
			}
			for _, title := range titles {
				if title.ID == gameNumber(0) {
					return title.Score[0]
				}
			}
			return -1
		}
		goal(0)
		for n := 1; n < 40; n++ {
			if _, err := tb.bench.State(t.Context(), gameNumber(n)); err != nil {
				t.Fatal(err)
			}
		}
		synctest.Wait()
		if tb.bench.games[gameNumber(0)].loaded {
			t.Fatal("the game is in memory still")
		}
		loads := log.count()
		if got := score(); got != 1 {
			t.Error("the list says", got)
		}
		synctest.Wait()
		if log.count() != loads+1 { // the game of gameID, which nobody looked at
			t.Errorf("%d ledgers were read for the list", log.count()-loads)
		}
		goal(1)
		if got := score(); got != 2 {
			t.Error("after another goal the list says", got)
		}
	})
}
