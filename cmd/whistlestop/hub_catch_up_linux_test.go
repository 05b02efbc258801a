package main

import (
	mathrand "math/rand/v2"
	"net/http"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/office"
	hubstore "whistlestop/internal/hub/sqlite"
	"whistlestop/internal/outbox"
	"whistlestop/internal/outbox/overhttp"
	"whistlestop/internal/proof/seeds"
)

// A hub was away for a day, and every bench comes back at once with a whole game, as a
// bench sends one: the hub has each of them then. WHISTLESTOP_CATCH_UP_GAMES asks for more
// of them (2500 are a Saturday of a country's). How long it took is logged.
func TestCatchUp(t *testing.T) {
	games := int(seeds.Number(t, "WHISTLESTOP_CATCH_UP_GAMES", 6))
	t.Run("folder", func(t *testing.T) {
		t.Parallel() // it waits most of its time
		data := t.TempDir()
		hub := serving(t, runAsProgram+"=1", "127.0.0.1:0", "hub", "--name", "Harbour League", "--data", data)
		store, err := hubstore.OpenBeside(t.Context(), data)
		if err != nil {
			t.Fatal(err)
		}
		defer func() { _ = store.Close() }()
		catchUp(t, store, games, hub)
	})
	t.Run("nation", func(t *testing.T) {
		t.Parallel()
		store, arguments := nation(t)
		catchUp(t, store, games, two(t, arguments)...)
	})
}

// catchUp sends the games and looks for them.
func catchUp(t *testing.T, store hubStore, games int, hubs ...*server) {
	const entries = 150
	association, _, secret := paired(t, store)
	whole, ledgersOf := invented(t), make([][]entry.Entry, games)
	for i := range ledgersOf {
		ledgersOf[i] = renamed(t, whole, iceGame(i), entries)
	}
	client := overhttp.Over(&http.Client{Timeout: 20 * time.Second, Transport: &http.Transport{MaxIdleConnsPerHost: games}})
	e := &iceNight{t: t, hubs: hubs}
	used, began := e.used(), time.Now()
	var benches sync.WaitGroup
	var again atomic.Int64
	for i, ledger := range ledgersOf {
		benches.Go(func() {
			epoch := 0
			for tries := range 100 {
				if tries > 0 { // as a bench waits
					again.Add(1)
					time.Sleep(time.Second + mathrand.N(time.Second<<min(tries, 6)))
				}
				link := outbox.Link{Hub: hubs[(i+tries)%len(hubs)].address, Secret: secret}
				done, err := outbox.SendOnce(t.Context(), link, client, office.Now, epoch, ledger)
				if epoch = done.Epoch; err == nil && done.Sent == entries {
					return
				}
			}
			t.Errorf("game %d was not sent", i)
		})
	}
	benches.Wait()
	took := time.Since(began)
	t.Logf("%d games of %d entries: %v, %.0f entries a second, %d tries more; the hubs took %v of the processor and hold %.0f MB (load %s)",
		games, entries, took.Round(time.Millisecond), float64(games*entries)/took.Seconds(), again.Load(), (e.used() - used).Round(time.Millisecond), e.resident()/1024, load())
	for i, ledger := range ledgersOf {
		hash, err := ledger[entries-1].Hash()
		if err != nil {
			t.Fatal(err)
		}
		head, err := store.Head(t.Context(), ledgers.Where{Association: association, Game: iceGame(i)})
		if err != nil || head.Seq != entries || head.Hash != hash || head.Forked {
			t.Errorf("game %d ends with %+v, %v", i, head, err)
		}
	}
	e.end()
}
