package main

import (
	"bytes"
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"net"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"time"
)

// crowd is families that follow games, each over a connection from an address of its own,
// with as little work for each as can be: what they need of the machine is not the hub's.
// They come back as the page does (stream.svelte.ts): after a second, and as much more as
// they draw of what their hub said last.
type crowd struct {
	hubs     []string    // host and port; a family whose hub is away tries the next one
	trusts   *tls.Config // set: over HTTP/2, as browsers speak with a hub that has a certificate
	path     func(game int) string
	posted   [][]atomic.Int64 // by game and entry: when it was sent, in nanoseconds of Unix time
	there    atomic.Int64     // how many are connected
	states   atomic.Int64     // states and changes that were shown, and their bytes with everything else
	bytes    atomic.Int64
	ways     spans
	refused  atomic.Int64
	speaking chan struct{} // room for who thinks out first words
	home     chan struct{}
	families sync.WaitGroup
	each     []*family
}

// family is one of them.
type family struct {
	crowd  *crowd
	number int
	game   int
	has    atomic.Int64 // number of the newest entry that it was shown
	last   string       // as the browser sends it when it comes back
	spread time.Duration
	conn   atomic.Pointer[io.ReadCloser]
}

// come lets as many families come, to all games alike.
func (c *crowd) come(count, games int) {
	c.home, c.speaking = make(chan struct{}), make(chan struct{}, 64)
	for i := range count {
		f := &family{crowd: c, number: i, game: i % games}
		c.each = append(c.each, f)
		c.families.Go(f.follow)
	}
}

// leave sends them home.
func (c *crowd) leave() {
	close(c.home)
	for _, f := range c.each {
		if conn := f.conn.Load(); conn != nil {
			_ = (*conn).Close()
		}
	}
	c.families.Wait()
}

func (f *family) follow() {
	dialer := &net.Dialer{Timeout: 5 * time.Second, LocalAddr: &net.TCPAddr{IP: net.IPv4(127, 9, byte(f.number/250), byte(1+f.number%250))}}
	for hub := f.number; ; hub++ {
		f.stream(dialer, f.crowd.hubs[hub%len(f.crowd.hubs)])
		select {
		case <-f.crowd.home:
			return
		case <-time.After(time.Second + time.Duration(rand.Float64()*float64(f.spread))):
		}
	}
}

func (f *family) stream(dialer *net.Dialer, hub string) {
	conn, err := f.ask(dialer, hub)
	if err != nil {
		return
	}
	defer func() { _ = conn.Close() }()
	f.conn.Store(&conn)
	select {
	case <-f.crowd.home: // it may have missed this one
		return
	default:
	}
	connected := false
	defer func() {
		if connected {
			f.crowd.there.Add(-1)
		}
	}()
	buffer, kept := make([]byte, 2048), 0
	if f.crowd.trusts != nil {
		buffer[0], kept = '\n', 1 // in the place of a header
	}
	for first := true; ; first = false {
		n, err := conn.Read(buffer[kept:])
		f.crowd.bytes.Add(int64(n))
		text := buffer[:kept+n]
		if first && n > 0 && f.crowd.trusts == nil && !bytes.HasPrefix(text, []byte("HTTP/1.1 200")) {
			f.crowd.refused.Add(1)
			return
		}
		if !connected && bytes.Contains(text, []byte("\nretry: ")) {
			connected = true
			f.crowd.there.Add(1)
		}
		if _, after, is := bytes.Cut(text, []byte(`"spread_ms":`)); is {
			if told, _, whole := bytes.Cut(after, []byte("}")); whole {
				if millis, err := strconv.Atoi(string(told)); err == nil {
					f.spread = time.Duration(millis) * time.Millisecond
				}
			}
		}
		kept = copy(buffer, f.took(text))
		if err != nil {
			return
		}
	}
}

// ask asks for the stream of the family's game.
func (f *family) ask(dialer *net.Dialer, hub string) (io.ReadCloser, error) {
	if f.crowd.trusts != nil {
		return f.ask2(dialer, hub)
	}
	conn, err := dialer.Dial("tcp", hub)
	if err != nil {
		return nil, err
	}
	came := ""
	if f.last != "" {
		came = "Last-Event-ID: " + f.last + "\r\n"
	}
	if _, err := fmt.Fprintf(conn, "GET %s HTTP/1.1\r\nHost: %s\r\n%s\r\n", f.crowd.path(f.game), hub, came); err != nil {
		return nil, errors.Join(err, conn.Close())
	}
	return conn, nil
}

// ask2 does so over HTTP/2, with a connection for each family. Its browser has a machine of its
// own, so it connects when it has its first words, whatever others think out here meanwhile.
func (f *family) ask2(dialer *net.Dialer, hub string) (io.ReadCloser, error) {
	transport := &http.Transport{DialContext: func(ctx context.Context, network, address string) (net.Conn, error) {
		select {
		case f.crowd.speaking <- struct{}{}:
		case <-f.crowd.home:
			return nil, net.ErrClosed
		}
		spoke := sync.OnceFunc(func() { <-f.crowd.speaking })
		return &speaks{dial: func() (net.Conn, error) { return dialer.DialContext(ctx, network, address) }, spoke: spoke}, nil
	}, TLSClientConfig: f.crowd.trusts, ForceAttemptHTTP2: true, DisableCompression: true}
	ctx, cancel := context.WithCancel(context.Background())
	request, err := http.NewRequestWithContext(ctx, http.MethodGet, "https://"+hub+f.crowd.path(f.game), http.NoBody)
	if err != nil {
		cancel()
		return nil, err
	}
	if f.last != "" {
		request.Header.Set("Last-Event-ID", f.last)
	}
	answer, err := transport.RoundTrip(request)
	if err == nil && (answer.StatusCode != http.StatusOK || answer.ProtoMajor != 2) {
		f.crowd.refused.Add(1)
		err = errors.Join(errors.New(answer.Proto+" "+answer.Status), answer.Body.Close())
	}
	if err != nil {
		cancel()
		transport.CloseIdleConnections()
		return nil, err
	}
	return &over2{answer.Body, cancel, transport}, nil
}

// speaks is a connection that begins with the first words.
type speaks struct {
	net.Conn
	dial  func() (net.Conn, error)
	spoke func()
}

// Write writes, the first time to a connection that is made then.
func (s *speaks) Write(b []byte) (n int, err error) {
	defer s.spoke()
	if s.Conn == nil {
		if s.Conn, err = s.dial(); err != nil {
			return 0, err
		}
	}
	return s.Conn.Write(b)
}

// Close ends it, where it began.
func (s *speaks) Close() error {
	s.spoke()
	if s.Conn == nil {
		return nil
	}
	return s.Conn.Close()
}

// over2 is a stream over HTTP/2. Its connection ends with it.
type over2 struct {
	io.ReadCloser
	cancel    context.CancelFunc
	transport *http.Transport
}

// Close ends the stream.
func (o *over2) Close() error {
	o.cancel()
	err := o.ReadCloser.Close()
	o.transport.CloseIdleConnections()
	return err
}

// took notes what a text says, and returns the end of it that may be the beginning of a line.
func (f *family) took(text []byte) (rest []byte) {
	for {
		at := bytes.Index(text, []byte("\nid: "))
		if at < 0 {
			return text[max(0, len(text)-9):]
		}
		id, after, whole := bytes.Cut(text[at+5:], []byte("\n"))
		if !whole {
			return text[max(at, len(text)-100):]
		}
		text = after
		parts := strings.Split(string(id), "-")
		if len(parts) != 3 {
			continue
		}
		seq, err := strconv.Atoi(parts[1])
		if err != nil {
			continue
		}
		f.crowd.states.Add(1)
		posted := f.crowd.posted[f.game]
		if f.has.Load() > 0 && seq == int(f.has.Load())+1 && seq < len(posted) { // not what a family is shown that comes
			f.crowd.ways.add(time.Duration(time.Now().UnixNano() - posted[seq].Load()))
		}
		f.has.Store(int64(seq))
		f.last = string(id)
	}
}

// spans counts spans of time. It is safe for use by many goroutines.
type spans struct {
	mutex sync.Mutex
	list  []time.Duration
}

func (s *spans) add(d time.Duration) {
	s.mutex.Lock()
	s.list = append(s.list, d)
	s.mutex.Unlock()
}

// take returns what was counted since the last time.
func (s *spans) take() []time.Duration {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	list := s.list
	s.list = nil
	return slices.Clip(list)
}
