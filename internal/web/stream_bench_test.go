package web_test

import (
	"context"
	"crypto/rand"
	"encoding/json"
	"fmt"
	"log/slog"
	"net/http"
	"net/netip"
	"slices"
	"sync"
	"testing"
	"time"

	"whistlestop/internal/api/laptop"
	"whistlestop/internal/bench"
	"whistlestop/internal/demo"
	"whistlestop/internal/locale"
	"whistlestop/internal/seats"
	"whistlestop/internal/store/memory"
	"whistlestop/internal/web"
)

// lateGame returns a server with the invented game in overtime, and the game's
// id.
func lateGame(t testing.TB, own func(netip.Addr) bool) (*web.Server, string) {
	ledger, err := demo.Ledger("overtime", bench.SteadyClock().Now())
	if err != nil {
		t.Fatal(err)
	}
	kept := memory.New()
	if err := kept.Append(context.Background(), ledger[0].Game, ledger); err != nil {
		t.Fatal(err)
	}
	quiet := slog.New(slog.DiscardHandler)
	live := bench.New(kept, bench.SteadyClock(), bench.ULIDs(), quiet)
	s := web.New(web.Config{
		Service: laptop.Service{
			Bench: live, Seats: seats.New(seats.Config{Now: live.Now, Random: rand.Reader}), QR: drawText,
			Languages: web.Speaks(locale.Shipped()), Logger: quiet,
		},
		Pages: built, Own: own,
	})
	t.Cleanup(func() { s.Close(); live.Close() })
	return s, ledger[0].Game
}

func loopback(a netip.Addr) bool { return a.IsLoopback() }

// noteFor is a post of a note to a game.
func noteFor(game string, i int) []byte {
	draft, err := json.Marshal(map[string]any{
		"specversion": "1.0", "id": fmt.Sprintf("01JE%022d", i), "source": "/game/" + game,
		"type": "whistlestop.note.v1", "time": time.Now().UTC().Format("2006-01-02T15:04:05.000Z"), "seat": "solo",
		"data": map[string]any{"at": map[string]int{"period": 0, "elapsed_ms": 0}, "body": map[string]string{"text": "n"}},
	})
	if err != nil {
		panic(err)
	}
	return fmt.Appendf(nil, `{"entries":[%s]}`, draft)
}

// listener reads one packed stream and says when the beginning of each state
// came. It does not unpack: 200 clients on this machine would measure
// themselves.
type listener struct {
	arrivals chan time.Time
	body     interface{ Close() error }
}

func openStream(t testing.TB, address string) *listener {
	r, err := http.NewRequest("GET", address, nil)
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Accept-Encoding", "gzip")
	answer, err := (&http.Client{Transport: &http.Transport{DisableCompression: true}}).Do(r)
	if err != nil {
		t.Fatal(err)
	}
	if answer.StatusCode != http.StatusOK || answer.Header.Get("Content-Encoding") != "gzip" {
		t.Fatalf("%d %v", answer.StatusCode, answer.Header)
	}
	l := &listener{arrivals: make(chan time.Time, 1000), body: answer.Body}
	go func() {
		defer close(l.arrivals)
		piece := make([]byte, 64<<10)
		for {
			n, err := answer.Body.Read(piece)
			if err != nil {
				return
			}
			if n > 100 { // a beat is shorter
				l.arrivals <- time.Now()
			}
		}
	}()
	return l
}

// settle forgets what came so far.
func (l *listener) settle() {
	for {
		select {
		case <-l.arrivals:
		case <-time.After(150 * time.Millisecond):
			return
		}
	}
}

// BenchmarkPostTo200Streams measures from the post to the first byte of the new
// state on each of 200 streams, late in a game. Half of the streams are the
// whole game, half the public view.
func BenchmarkPostTo200Streams(b *testing.B) {
	s, game := lateGame(b, loopback)
	address := listen(b, s) + "/api/games/" + game
	var streams []*listener
	for i := range 200 {
		view := ""
		if i%2 == 1 {
			view = "?view=public"
		}
		streams = append(streams, openStream(b, address+"/stream"+view))
	}
	defer func() {
		for _, l := range streams {
			_ = l.body.Close() // the test is over
		}
	}()
	var all sync.WaitGroup
	for _, l := range streams {
		all.Go(l.settle)
	}
	all.Wait()
	var mutex sync.Mutex
	var delays []time.Duration
	i := 0
	for b.Loop() {
		i++
		posted := time.Now()
		for _, l := range streams {
			all.Go(func() {
				select {
				case came := <-l.arrivals:
					mutex.Lock()
					defer mutex.Unlock()
					delays = append(delays, came.Sub(posted))
				case <-time.After(10 * time.Second):
					b.Error("a stream heard nothing")
				}
			})
		}
		if answer := do(s, post("/api/games/"+game+"/entries", string(noteFor(game, i)))); answer.Code != http.StatusOK {
			b.Fatal(answer.Body)
		}
		all.Wait()
		b.StopTimer()
		for _, l := range streams { // the rest of a state that came in pieces
			all.Go(func() {
				time.Sleep(20 * time.Millisecond)
				for len(l.arrivals) > 0 {
					<-l.arrivals
				}
			})
		}
		all.Wait()
		b.StartTimer()
	}
	slices.Sort(delays)
	at := func(share float64) float64 {
		return float64(delays[int(share*float64(len(delays)-1))].Microseconds()) / 1000
	}
	b.ReportMetric(at(0.50), "ms-p50")
	b.ReportMetric(at(0.99), "ms-p99")
	b.ReportMetric(at(1), "ms-max")
}
