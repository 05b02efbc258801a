package turns

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"io"
	"log"
	"math/big"
	"net"
	"net/http"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"golang.org/x/sync/semaphore"
)

// limit is how long a server waits for what a browser says until both are encrypted.
const limit = 5 * time.Second

// house is a server in time that is not real. It has one processor, and to answer somebody's
// first words takes it a while.
type house struct {
	come      chan net.Conn
	processor chan struct{}
	takes     time.Duration
	server    *http.Server
	served    sync.WaitGroup
	ended     func()
}

func open(t *testing.T, takes time.Duration, listen func(net.Listener) net.Listener) *house {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	about := &x509.Certificate{SerialNumber: big.NewInt(1), DNSNames: []string{"hub.example"}, NotAfter: time.Now().Add(time.Hour)}
	raw, err := x509.CreateCertificate(rand.Reader, about, about, key.Public(), key)
	if err != nil {
		t.Fatal(err)
	}
	h := &house{come: make(chan net.Conn), processor: make(chan struct{}, 1), takes: takes}
	h.ended = sync.OnceFunc(func() { close(h.come) })
	h.server = &http.Server{
		ReadHeaderTimeout: limit, ErrorLog: log.New(io.Discard, "", 0),
		TLSConfig: &tls.Config{GetCertificate: func(*tls.ClientHelloInfo) (*tls.Certificate, error) {
			h.processor <- struct{}{}
			time.Sleep(h.takes)
			<-h.processor
			return &tls.Certificate{Certificate: [][]byte{raw}, PrivateKey: key}, nil
		}},
	}
	h.served.Go(func() { _ = h.server.ServeTLS(listen(h), "", "") }) // it says that it was closed
	return h
}

func (h *house) close() {
	_ = h.server.Close()
	h.served.Wait()
}

// Accept returns who comes next.
func (h *house) Accept() (net.Conn, error) {
	conn, more := <-h.come
	if !more {
		return nil, net.ErrClosed
	}
	return conn, nil
}

// Close lets nobody come any more.
func (h *house) Close() error {
	h.ended()
	return nil
}

// Addr is an address.
func (h *house) Addr() net.Addr { return &net.TCPAddr{} }

// connect comes to the house.
func (h *house) connect() net.Conn {
	here, there := net.Pipe()
	h.come <- there
	return here
}

// enter comes as a browser does, and goes.
func (h *house) enter() error {
	conn := h.connect()
	defer func() { _ = conn.Close() }()
	return tls.Client(conn, &tls.Config{InsecureSkipVerify: true}).Handshake() // whose it is matters to nobody here
}

// crowd has many come at one moment, and returns how many got in.
func (h *house) crowd(many int) (in int) {
	var mutex sync.Mutex
	var all sync.WaitGroup
	for range many {
		all.Go(func() {
			if h.enter() == nil {
				mutex.Lock()
				in++
				mutex.Unlock()
			}
		})
	}
	all.Wait()
	return in
}

func bare(l net.Listener) net.Listener { return l }

func one(most time.Duration) func(net.Listener) net.Listener {
	return func(l net.Listener) net.Listener {
		return &listener{Listener: l, turns: semaphore.NewWeighted(1), most: most}
	}
}

func TestWhoComesAtOneMomentGetsIn(t *testing.T) {
	const many = 75 // three times as many as the limit has time for
	for name, c := range map[string]struct {
		listen func(net.Listener) net.Listener
		least  int
		most   int
	}{
		"turns":                 {one(waitsMost), many, many},
		"as it is without":      {bare, 0, many / 2},
		"longer than one waits": {one(10 * time.Second), many / 3, many * 3 / 4},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				h := open(t, 200*time.Millisecond, c.listen)
				defer h.close()
				if in := h.crowd(many); in < c.least || in > c.most {
					t.Errorf("%d of %d got in, not %d to %d", in, many, c.least, c.most)
				}
				if in := h.crowd(1); in != 1 {
					t.Error("afterwards nobody gets in")
				}
			})
		})
	}
}

func TestWhoIsSlowTakesNobodysTurn(t *testing.T) {
	first := firstWords(t)
	for name, says := range map[string][]byte{"nothing": nil, "a part of the first words": first[:20], "the first words and no more": first} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				h := open(t, 0, one(waitsMost))
				defer h.close()
				began := time.Now()
				var slow sync.WaitGroup
				for range 50 {
					conn := h.connect()
					slow.Go(func() {
						defer func() { _ = conn.Close() }()
						_, _ = conn.Write(says)
						time.Sleep(limit - time.Second)
						if _, err := conn.Write([]byte{22}); len(says) < len(first) && err != nil {
							t.Error("it was cut off before its time:", err)
						}
						time.Sleep(2 * time.Second)
						if _, err := conn.Write([]byte{22}); err == nil {
							t.Error("it was not cut off")
						}
					})
				}
				synctest.Wait()
				if err := h.enter(); err != nil || time.Since(began) > 0 {
					t.Errorf("it took %v: %v", time.Since(began), err)
				}
				slow.Wait()
			})
		})
	}
}

func TestWhoGoesWhileWaitingLeavesNoTurnBehind(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		h := open(t, time.Second, one(waitsMost))
		defer h.close()
		first := firstWords(t)
		for range 5 {
			conn := h.connect()
			if _, err := conn.Write(first); err != nil {
				t.Fatal(err)
			}
			synctest.Wait()
			_ = conn.Close()
		}
		if err := h.enter(); err != nil {
			t.Error(err)
		}
	})
}

func TestWhoWaitsIsClosedWithTheServer(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		turns := semaphore.NewWeighted(1)
		h := open(t, time.Second, func(l net.Listener) net.Listener { return &listener{Listener: l, turns: turns, most: waitsMost} })
		for range 3 {
			if _, err := h.connect().Write(firstWords(t)); err != nil {
				t.Fatal(err)
			}
		}
		synctest.Wait()
		h.close()
		time.Sleep(limit)
		if !turns.TryAcquire(1) {
			t.Error("somebody has a turn still")
		}
	})
}

// firstWords is what a browser says first.
func firstWords(t *testing.T) []byte {
	t.Helper()
	here, there := net.Pipe()
	var says sync.WaitGroup
	says.Go(func() { _ = tls.Client(there, &tls.Config{InsecureSkipVerify: true}).Handshake() })
	first := make([]byte, 4096)
	n, err := here.Read(first)
	if err != nil {
		t.Fatal(err)
	}
	_ = here.Close()
	says.Wait()
	return first[:n]
}
