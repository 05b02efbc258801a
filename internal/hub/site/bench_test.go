//go:build unix

package site_test

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/office"
)

// sink is a connection that takes everything at once, so that what is measured is the
// hub and not the network of the machine.
type sink struct {
	header http.Header
	wrote  *atomic.Int64 // flushes with a state or a change
	big    bool
}

func (s *sink) Header() http.Header                { return s.header }
func (s *sink) WriteHeader(int)                    {}
func (s *sink) SetReadDeadline(_ time.Time) error  { return nil }
func (s *sink) SetWriteDeadline(_ time.Time) error { return nil }

func (s *sink) Write(raw []byte) (int, error) {
	s.big = s.big || len(raw) > 200
	return len(raw), nil
}

func (s *sink) FlushError() error {
	if s.big {
		s.wrote.Add(1)
		s.big = false
	}
	return nil
}

func (s *sink) Flush() { _ = s.FlushError() }

// awaits waits until so many states have gone out, and looks seldom: what is measured
// is the processor, and not how soon this is seen.
func awaits(wrote *atomic.Int64, want int64) {
	for wrote.Load() < want {
		time.Sleep(2 * time.Millisecond)
	}
}

// processor is the time that this program has had of the processor. Other programs on
// the machine do not count.
func processor(b *testing.B) time.Duration {
	b.Helper()
	var used syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &used); err != nil {
		b.Fatal(err)
	}
	return time.Duration(used.Utime.Nano() + used.Stime.Nano())
}

const followersInBench = 1000

func memory() uint64 {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.HeapAlloc + m.StackInuse
}

// longer is the game with so many entries more.
func longer(b *testing.B, g game, after, count int) game {
	b.Helper()
	ledger := g.ledger[:after:after]
	for n := range count {
		last := ledger[len(ledger)-1]
		prev, err := last.Hash()
		if err != nil {
			b.Fatal(err)
		}
		ledger = append(ledger, entry.Entry{
			ID: fmt.Sprintf("01JD%022d", n), Game: g.id, Seq: last.Seq + 1, Wall: last.Wall + 1000, Seat: entry.Solo, Prev: prev,
			Body: entry.Shots{Side: entry.Home, Count: 1},
		})
	}
	return without(b, ledger)
}

// An entry of a game that a thousand follow: taken, kept on the disk, folded, written
// once and sent to all.
func BenchmarkFollowers(b *testing.B) {
	h := newHub(b)
	const had = 30
	g := longer(b, played(b, "overtime", h.clock()), had, b.N)
	token := h.issue(office.Team, "Kelp Bay")
	h.send(g, 0, had).head(b)
	var wrote atomic.Int64
	before := memory()
	var group sync.WaitGroup
	for i := range followersInBench {
		group.Go(func() {
			request := httptest.NewRequest("GET", "/v1/follow/"+token+"/games/"+g.id+"/stream", nil)
			request.RemoteAddr = fmt.Sprintf("10.1.%d.%d:1", i/200, i%200)
			h.site.ServeHTTP(&sink{header: http.Header{}, wrote: &wrote}, request)
		})
	}
	awaits(&wrote, followersInBench)
	each := float64(memory()-before) / followersInBench
	b.ResetTimer()
	began := processor(b)
	for i := range b.N {
		h.later(1000)
		h.send(g, had+i, had+i+1).head(b)
		awaits(&wrote, int64(followersInBench*(i+2)))
	}
	b.StopTimer()
	b.ReportMetric(float64(processor(b)-began)/float64(b.N*followersInBench), "cpu-ns/delivery")
	b.ReportMetric(each, "B/follower")
	h.site.Close()
	group.Wait()
}

// What that is held against: a broadcaster with nothing to work out, which hands the
// same number of bytes to as many.
func BenchmarkBareBroadcaster(b *testing.B) {
	message := []byte("event: change\ndata: " + strings.Repeat("x", 1500) + "\n\n")
	var wrote atomic.Int64
	before := memory()
	var group sync.WaitGroup
	channels := make([]chan []byte, followersInBench)
	serve := func(w http.ResponseWriter, news <-chan []byte) {
		control := http.NewResponseController(w)
		for raw := range news {
			if control.SetWriteDeadline(time.Now().Add(time.Second)) != nil {
				return
			}
			if _, err := w.Write(raw); err != nil || control.Flush() != nil {
				return
			}
		}
	}
	for i := range channels {
		channels[i] = make(chan []byte, 8)
		group.Go(func() { serve(&sink{header: http.Header{}, wrote: &wrote}, channels[i]) })
	}
	send := func() {
		for _, c := range channels {
			c <- message
		}
	}
	send()
	awaits(&wrote, followersInBench)
	each := float64(memory()-before) / followersInBench
	b.ResetTimer()
	began := processor(b)
	for i := range b.N {
		send()
		awaits(&wrote, int64(followersInBench*(i+2)))
	}
	b.StopTimer()
	b.ReportMetric(float64(processor(b)-began)/float64(b.N*followersInBench), "cpu-ns/delivery")
	b.ReportMetric(each, "B/follower")
	for _, c := range channels {
		close(c)
	}
	group.Wait()
}

// BenchmarkTables is one reader of the tables of a season of 60 sealed games, against
// working the season out for each reader, and against the first reader after a change.
func BenchmarkTables(b *testing.B) {
	h := newHub(b)
	var days []string
	for i := range 60 {
		days = append(days, fmt.Sprintf("2023-%02d-%02d", 10+i/30, 1+i%30))
	}
	h.seasons.files.league, h.seasons.files.schedule = []byte(harbourLeague), harbourSchedule(days...)
	if err := h.store.Turn(b.Context(), association, office.TablesForAll, true, h.office.Note("test", "turned_on", "", "")); err != nil {
		b.Fatal(err)
	}
	teams := [][2]string{{"Kelp Bay", "Lanternside"}, {"Millrace", "Kelp Bay"}, {"Lanternside", "Millrace"}}
	moments := []string{"third-period", "power-play"}
	put := func(i int) {
		id := fmt.Sprintf("01JD0000000000000000GA%04d", i)
		g, _ := over(b, moments[i%2], id, fmt.Sprintf("u14-%d", i+1), teams[i%3][0], teams[i%3][1], h.clock()).sealed(b, id[:20]+fmt.Sprintf("SEA%03d", i))
		h.sendAll(g, 0)
	}
	for i := range 59 {
		put(i)
	}
	request := httptest.NewRequest(http.MethodGet, "/v1/tables/"+association+"?division=u14", nil)
	request.Header.Set("Accept-Encoding", "gzip")
	readers := 0
	read := func() {
		readers++ // each from an address of its own: one address is let read thirty a second
		request.RemoteAddr = fmt.Sprintf("10.%d.%d.%d:1", readers>>16&255, readers>>8&255, readers&255)
		out := &sink{header: http.Header{}, wrote: &atomic.Int64{}}
		h.site.ServeHTTP(out, request)
		if !out.big || out.header.Get("Content-Encoding") != "gzip" {
			b.Fatal("nothing was sent")
		}
	}
	b.Run("reader", func(b *testing.B) {
		for b.Loop() {
			h.later(2) // five hundred a second
			read()
		}
	})
	b.Run("worked out for each", func(b *testing.B) {
		for b.Loop() {
			fresh := newSeasons(h.store, h.live, h.seasons.names)
			*fresh.files = *h.seasons.files
			if _, err := fresh.Season(b.Context()); err != nil {
				b.Fatal(err)
			}
		}
	})
	changes := 0
	b.Run("after a change", func(b *testing.B) {
		read()
		for n := 0; b.Loop(); n++ {
			b.StopTimer()
			if changes++; changes == 1 {
				put(59)
			} else if err := h.store.Turn(b.Context(), association, office.PlacesBefore, n%2 == 0, h.office.Note("test", "turned_on", "", "")); err != nil {
				b.Fatal(err)
			}
			h.later(seasonLater)
			b.StartTimer()
			read()
		}
	})
}
