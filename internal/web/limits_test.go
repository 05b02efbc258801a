package web_test

import (
	"fmt"
	"net"
	"net/http"
	"net/http/httptest"
	"sync"
	"testing"
	"testing/synctest"
	"time"
)

// These limits are ours (docs/network.md). All time in these tests is simulated, so
// a slow machine changes nothing.

// fromGuest is a question of a device without a seat.
func fromGuest(r *http.Request, address string) *http.Request {
	return with(r, "from", address+":40000", "Host", lanHost)
}

// An address may ask so often, and then has to wait; others, seats and the bench
// do not notice. With IPv6 an address is what one device can choose its own from.
func TestAnAddressAsksOnlySoOften(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newServer(t, built)
		token := pair(t, s, `{"seat":"clock"}`)
		burst := func(address string) (n int) {
			for ; n < 2000; n++ {
				answer := do(s, fromGuest(get(gamePath), address))
				if answer.Code == http.StatusTooManyRequests {
					if answer.Header().Get("Retry-After") == "" {
						t.Error("nothing says when to ask again")
					}
					return n
				}
				if answer.Code != http.StatusOK {
					t.Fatal(answer.Code, answer.Body)
				}
			}
			return n
		}
		if n := burst("192.168.7.41"); n != 150 {
			t.Errorf("one address was answered %d times at once", n)
		}
		for who, r := range map[string]*http.Request{
			"another address": fromGuest(get(gamePath), "192.168.7.42"),
			"a seat":          fromPhone(get(gamePath), token),
			"the bench":       get(gamePath),
		} {
			if answer := do(s, r); answer.Code != http.StatusOK {
				t.Errorf("%s has to wait: %d", who, answer.Code)
			}
		}
		time.Sleep(time.Second)
		if n := burst("192.168.7.41"); n != 30 {
			t.Errorf("a second later it was answered %d times", n)
		}
		if n := burst("[fd00:7::1]") + burst("[fd00:7::2]"); n != 150 {
			t.Errorf("two addresses of one network were answered %d times", n)
		}
		if n := burst("[fd00:8::1]"); n != 150 {
			t.Errorf("another network was answered %d times", n)
		}
	})
}

// stuck is a device that takes no byte until it is told to.
type stuck struct {
	http.ResponseWriter
	begun func()
	until <-chan struct{}
}

func (w *stuck) Write(p []byte) (int, error) {
	w.begun()
	<-w.until
	return w.ResponseWriter.Write(p)
}

// Whoever reads slowly keeps only turns of its own: eight at once, and then its
// own next question waits and is refused. Nobody else's is.
func TestASlowReaderKeepsOnlyItsOwnTurns(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newServer(t, built)
		until := make(chan struct{})
		var group sync.WaitGroup
		begun := 0
		for range 8 {
			group.Go(func() {
				var once sync.Once
				w := &stuck{httptest.NewRecorder(), func() { once.Do(func() { begun++ }) }, until}
				s.ServeHTTP(w, fromGuest(get(gamePath), "192.168.7.41"))
			})
			synctest.Wait()
		}
		if begun != 8 {
			t.Errorf("%d of 8 slow requests were worked on", begun)
		}
		asked := time.Now()
		if answer := do(s, fromGuest(get(gamePath), "192.168.7.41")); answer.Code != http.StatusServiceUnavailable {
			t.Errorf("the ninth of the address: %d", answer.Code)
		}
		if waited := time.Since(asked); waited < time.Second || waited > 10*time.Second {
			t.Errorf("it was refused after %v", waited)
		}
		asked = time.Now()
		for who, r := range map[string]*http.Request{"another address": fromGuest(get(gamePath), "192.168.7.42"), "the bench": get(gamePath)} {
			if answer := do(s, r); answer.Code != http.StatusOK || time.Since(asked) > 0 {
				t.Errorf("%s: %d after %v", who, answer.Code, time.Since(asked))
			}
		}
		close(until)
		group.Wait()
		if answer := do(s, fromGuest(get(gamePath), "192.168.7.41")); answer.Code != http.StatusOK {
			t.Errorf("when it has read: %d", answer.Code)
		}
	})
}

// hall is a listener whose connections come from wherever a test says.
type hall struct {
	come chan net.Conn
	shut chan struct{}
}

func (h *hall) Accept() (net.Conn, error) {
	select {
	case c := <-h.come:
		return c, nil
	case <-h.shut:
		return nil, net.ErrClosed
	}
}

func (h *hall) Close() error   { close(h.shut); return nil }
func (h *hall) Addr() net.Addr { return &net.TCPAddr{} }

// arrived is a connection from an address.
type arrived struct {
	net.Conn
	from   string
	closed bool
}

func (c *arrived) RemoteAddr() net.Addr {
	return &net.TCPAddr{IP: net.ParseIP(c.from), Port: 40000}
}

func (c *arrived) Close() error { c.closed = true; return nil }

// doors counts who gets in.
type doors struct {
	t    *testing.T
	hall *hall
	in   chan net.Conn
}

// knock connects from an address, and returns the connection if it was let in.
func (d *doors) knock(from string) net.Conn {
	c := &arrived{from: from}
	d.hall.come <- c
	synctest.Wait()
	select {
	case let := <-d.in:
		if c.closed {
			d.t.Errorf("a connection from %s was let in and closed", from)
		}
		return let
	default:
		if !c.closed {
			d.t.Errorf("a connection from %s hangs", from)
		}
		return nil
	}
}

// let connects from an address until it is refused, and returns those that were
// let in.
func (d *doors) let(from string, most int) (in []net.Conn) {
	for len(in) < most {
		c := d.knock(from)
		if c == nil {
			return in
		}
		in = append(in, c)
	}
	return in
}

func (d *doors) close(connections []net.Conn) {
	for _, c := range connections {
		if err := c.Close(); err != nil {
			d.t.Error(err)
		}
		if err := c.Close(); err != nil { // a server may do so twice
			d.t.Error(err)
		}
	}
}

func atTheDoors(t *testing.T, test func(t *testing.T, d *doors, seat func(address string))) {
	synctest.Test(t, func(t *testing.T) {
		s := newServer(t, built)
		d := &doors{t: t, hall: &hall{come: make(chan net.Conn), shut: make(chan struct{})}, in: make(chan net.Conn, 1)}
		gate := s.Bounded(d.hall)
		go func() {
			for {
				c, err := gate.Accept()
				if err != nil {
					return
				}
				d.in <- c
			}
		}()
		test(t, d, func(address string) {
			token := pair(t, s, `{"seat":"clock"}`)
			if answer := do(s, with(fromPhone(get(gamePath), token), "from", address+":40000")); answer.Code != http.StatusOK {
				t.Fatal(answer.Code, answer.Body)
			}
		})
		if err := gate.Close(); err != nil {
			t.Error(err)
		}
	})
}

// An address holds so many connections open and no more, and gets a new one for
// each that it closes. Another address does not notice.
func TestAnAddressHoldsOnlySoManyConnections(t *testing.T) {
	atTheDoors(t, func(t *testing.T, d *doors, _ func(string)) {
		held := d.let("192.168.7.41", 1000)
		if len(held) != 64 {
			t.Errorf("one address holds %d connections", len(held))
		}
		if d.knock("192.168.7.42") == nil {
			t.Error("another address is kept out")
		}
		time.Sleep(time.Minute)
		if d.knock("192.168.7.41") != nil {
			t.Error("a minute later it holds one more")
		}
		d.close(held[:2])
		if again := d.let("192.168.7.41", 1000); len(again) != 2 {
			t.Errorf("it closed two and got %d", len(again))
		}
	})
}

// An address that closes what it opens may still open only so many a second.
func TestAnAddressConnectsOnlySoOften(t *testing.T) {
	atTheDoors(t, func(t *testing.T, d *doors, _ func(string)) {
		often := func(address string) (n int) {
			for ; n < 2000; n++ {
				c := d.knock(address)
				if c == nil {
					break
				}
				d.close([]net.Conn{c})
			}
			return n
		}
		if n := often("192.168.7.41"); n != 120 {
			t.Errorf("one address connected %d times at once", n)
		}
		if n := often("192.168.7.42"); n != 120 {
			t.Errorf("another one connected %d times", n)
		}
		time.Sleep(time.Second)
		if n := often("192.168.7.41"); n != 40 {
			t.Errorf("a second later it connected %d times", n)
		}
	})
}

// All guests together hold only so many connections, and connect only so often. The
// bench, and the address of a seat, get in all the same.
func TestACrowdDoesNotKeepASeatOut(t *testing.T) {
	atTheDoors(t, func(t *testing.T, d *doors, seat func(string)) {
		seat("192.168.7.77")
		var held []net.Conn
		for i := range 100 {
			held = append(held, d.let(fmt.Sprintf("192.168.8.%d", i+1), 20)...)
		}
		if len(held) != 640 {
			t.Errorf("guests hold %d connections", len(held))
		}
		time.Sleep(time.Minute)
		if d.knock("192.168.9.1") != nil {
			t.Error("one more guest got in")
		}
		for _, address := range []string{"192.168.7.77", "127.0.0.1"} {
			if d.knock(address) == nil {
				t.Errorf("%s is kept out by guests", address)
			}
		}
		time.Sleep(2 * time.Hour)
		if d.knock("192.168.7.77") != nil {
			t.Error("a seat that was not heard of for two hours gets in before guests")
		}
		d.close(held)
		n := 0
		for i := range 100 {
			of := d.let(fmt.Sprintf("192.168.10.%d", i+1), 20)
			d.close(of)
			n += len(of)
		}
		if n != 800 {
			t.Errorf("guests connected %d times at once", n)
		}
	})
}
