package web_test

import (
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"net"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"whistlestop/internal/web"
)

// keyboard is the one address that counts as this machine in a flood; the rest
// of the loopback network are guests.
func keyboard(a netip.Addr) bool { return a.Unmap() == netip.MustParseAddr("127.0.0.1") }

// flood is a crowd of hostile guests, each with an address of its own.
type flood struct {
	address string
	ctx     context.Context
	group   sync.WaitGroup

	connections, refused, answered, written atomic.Int64
}

// dial connects from one of fifty addresses.
func (f *flood) dial(ctx context.Context) (net.Conn, error) {
	f.connections.Add(1)
	from := net.IPv4(127, 0, 0, byte(2+rand.IntN(50)))
	c, err := (&net.Dialer{LocalAddr: &net.TCPAddr{IP: from}, Timeout: 2 * time.Second}).DialContext(ctx, "tcp", f.address)
	if err != nil {
		f.refused.Add(1)
	}
	return c, err
}

// every starts the attack so many times a second until the flood ends.
func (f *flood) every(perSecond int, attack func(net.Conn)) {
	f.group.Go(func() {
		tick := time.NewTicker(time.Second / time.Duration(perSecond))
		defer tick.Stop()
		for {
			select {
			case <-f.ctx.Done():
				return
			case <-tick.C:
			}
			f.group.Go(func() {
				c, err := f.dial(f.ctx)
				if err != nil {
					return
				}
				defer func() { _ = c.Close() }() // whatever became of it
				defer context.AfterFunc(f.ctx, func() { _ = c.Close() })()
				attack(c)
			})
		}
	})
}

// ask sends a request and looks at the first line of the answer.
func (f *flood) ask(c net.Conn, request string) {
	if _, err := io.WriteString(c, request); err != nil {
		return
	}
	_ = c.SetReadDeadline(time.Now().Add(2 * time.Second))
	line := make([]byte, 15)
	if _, err := io.ReadFull(c, line); err != nil {
		return
	}
	f.answered.Add(1)
	if strings.HasPrefix(request, "POST") && strings.HasPrefix(string(line[9:]), "2") {
		f.written.Add(1)
	}
}

// start begins all attacks at once: 1,000 connections a second of them.
func (f *flood) start(game string) {
	host := "Host: " + f.address + "\r\n"
	f.every(500, func(c net.Conn) { // pages and states
		f.ask(c, "GET /api/games/"+game+" HTTP/1.1\r\n"+host+"Connection: close\r\n\r\n")
	})
	f.every(200, func(c net.Conn) { // scans
		f.ask(c, fmt.Sprintf("GET /%x/../../etc/%x HTTP/1.1\r\n%s\r\n", rand.Uint64(), rand.Uint64(), host))
	})
	f.every(100, func(c net.Conn) { // posts, as if from the bench
		f.ask(c, "POST /api/games/"+game+"/entries HTTP/1.1\r\n"+host+"X-Forwarded-For: 127.0.0.1\r\n"+
			"Content-Type: application/json\r\nContent-Length: 14\r\n\r\n{\"entries\":[]}")
	})
	f.every(100, func(c net.Conn) { // codes
		body := fmt.Sprintf(`{"code":"BCDFGH%c%c","device":"x"}`, "BCDFGHJKLM"[rand.IntN(10)], "BCDFGHJKLM"[rand.IntN(10)])
		f.ask(c, fmt.Sprintf("POST /api/join HTTP/1.1\r\n%sContent-Type: application/json\r\nContent-Length: %d\r\n\r\n%s", host, len(body), body))
	})
	f.every(50, func(c net.Conn) { // headers that do not end
		_, err := io.WriteString(c, "GET / HTTP/1.1\r\n"+host)
		for i := 0; err == nil && f.ctx.Err() == nil; i++ {
			time.Sleep(200 * time.Millisecond)
			_, err = fmt.Fprintf(c, "X-%d: y\r\n", i)
		}
	})
	f.every(30, func(c net.Conn) { // bodies that do not end
		_, err := io.WriteString(c, "POST /api/join HTTP/1.1\r\n"+host+"Content-Type: application/json\r\nContent-Length: 1000000000\r\n\r\n{\"device\":\"")
		for err == nil && f.ctx.Err() == nil {
			_, err = c.Write(make([]byte, 64<<10))
		}
	})
	f.every(20, func(c net.Conn) { // streams that nobody reads
		if _, err := io.WriteString(c, "GET /api/games/"+game+"/stream HTTP/1.1\r\n"+host+"\r\n"); err == nil {
			<-f.ctx.Done()
		}
	})
}

// floodLeast is how many connections make a flood.
const floodLeast = 100

// flooded plays on at the bench while the flood lasts, and returns how long each
// post took until its state was on the bench's screen.
func flooded(t testing.TB, posts int) ([]time.Duration, *flood) {
	s, game := lateGame(t, keyboard)
	server := httptest.NewUnstartedServer(s)
	web.Limits(server.Config)
	server.Config.ErrorLog = nil
	server.Listener = s.Bounded(server.Listener)
	server.Start()
	t.Cleanup(func() { s.Close(); server.Close() })
	ctx, cancel := context.WithCancel(context.Background())
	f := &flood{address: strings.TrimPrefix(server.URL, "http://"), ctx: ctx}
	defer func() { cancel(); f.group.Wait() }()

	screen := listenTo(t, server.URL+"/api/games/"+game+"/stream", "Accept-Encoding", "identity")
	seq := next(t, screen, "state").id
	f.start(game)
	time.Sleep(300 * time.Millisecond) // until it rises
	client := &http.Client{Transport: &http.Transport{}}
	defer client.CloseIdleConnections()
	var took []time.Duration
	for i := range posts {
		began := time.Now()
		answer, err := client.Post(server.URL+"/api/games/"+game+"/entries", "application/json", strings.NewReader(string(noteFor(game, 900_000+i))))
		if err != nil {
			t.Fatalf("the bench's post %d: %v", i, err)
		}
		_, err = io.Copy(io.Discard, answer.Body)
		if answer.StatusCode != http.StatusOK || err != nil || answer.Body.Close() != nil {
			t.Fatalf("the bench's post %d: %d, %v", i, answer.StatusCode, err)
		}
		for {
			if now := next(t, screen, "state").id; now != seq {
				seq = now
				break
			}
		}
		took = append(took, time.Since(began))
		if i%10 == 0 { // and a new connection now and then, as after a reload
			client.CloseIdleConnections()
		}
		time.Sleep(25 * time.Millisecond)
	}
	for f.connections.Load() < floodLeast || f.answered.Load() == 0 { // a slow machine floods slowly
		time.Sleep(25 * time.Millisecond)
	}
	ledger := do(s, get("/api/games/"+game+"/ledger.jsonl?texts=inside")).Body.String()
	if got := strings.Count(ledger, `"text":"n"`); got != posts {
		t.Errorf("%d notes in the ledger, the bench posted %d", got, posts)
	}
	if list := do(s, get("/api/games/"+game+"/seats")).Body.String(); !strings.Contains(list, `"requests":[]`) {
		t.Errorf("a guest got in: %s", list)
	}
	return took, f
}

// H1: a flood of connections, slow headers, endless bodies, scans and guesses
// writes nothing, and the bench plays on. How fast it does is measured by
// BenchmarkH1; here every post is answered and shown, however busy the machine.
func TestH1_AFloodOfGuestsDoesNotStopTheBench(t *testing.T) {
	posts := 60
	if testing.Short() {
		posts = 15
	}
	_, f := flooded(t, posts)
	if f.written.Load() > 0 {
		t.Errorf("%d posts of guests were taken", f.written.Load())
	}
	t.Logf("%d connections, %d answers", f.connections.Load(), f.answered.Load())
}

// BenchmarkH1 measures from a post of the bench to the new state on its screen
// during the flood.
func BenchmarkH1(b *testing.B) {
	took, f := flooded(b, max(b.N, 20))
	slices.Sort(took)
	ms := func(d time.Duration) float64 { return float64(d.Microseconds()) / 1000 }
	b.ReportMetric(ms(took[len(took)/2]), "ms-p50")
	b.ReportMetric(ms(took[len(took)*95/100]), "ms-p95")
	b.ReportMetric(float64(f.connections.Load()), "connections")
	b.ReportMetric(float64(f.answered.Load()), "answered")
}
