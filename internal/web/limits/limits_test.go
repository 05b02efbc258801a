package limits

import (
	"context"
	"net"
	"net/netip"
	"testing"
)

func at(address string) netip.Addr { return netip.MustParseAddr(address) }

// ask asks until it is refused, so many times at most, and says how often it was let.
func ask(q *Requests, who Caller, joins bool, most int) int {
	for i := range most {
		leave, why := q.Enter(context.Background(), who, joins, false)
		leave()
		if why != None {
			return i
		}
	}
	return most
}

// The bench is never held up; a seat, a guest and a join have so many at once, and
// none of them uses up what another has.
func TestRequestsOfEachAreBoundedApart(t *testing.T) {
	const lots = 200_000
	q := NewRequests()
	guest, other := Caller{Address: at("192.168.1.20")}, Caller{Address: at("192.168.1.21")}
	seat := Caller{Seat: "s1", Address: guest.Address}
	if got := ask(q, Caller{Here: true}, false, lots); got != lots {
		t.Errorf("the bench was let %d times", got)
	}
	if got := ask(q, guest, false, lots); got < guestBurst || got == lots {
		t.Errorf("a guest was let %d times", got)
	}
	if got := ask(q, other, false, guestBurst); got != guestBurst {
		t.Errorf("after that another one was let %d times", got)
	}
	if got := ask(q, seat, false, lots); got < seatBurst || got == lots {
		t.Errorf("a seat was let %d times", got)
	}
	third := Caller{Address: at("192.168.1.22")}
	if got := ask(q, third, true, lots); got < joinBurst || got >= guestBurst {
		t.Errorf("a guest asked to join %d times", got)
	}
}

// One device chooses its IPv6 address anew as often as it likes: it is one guest.
func TestANetworkIsOneGuest(t *testing.T) {
	for _, c := range []struct {
		one, other string
		same       bool
	}{
		{"2001:db8:1:2::1", "2001:db8:1:2:ffff::9", true},
		{"2001:db8:1:2::1", "2001:db8:1:3::1", false},
		{"192.168.1.20", "192.168.1.21", false},
	} {
		if got := network(at(c.one)) == network(at(c.other)); got != c.same {
			t.Errorf("%s and %s: %v", c.one, c.other, got)
		}
	}
}

// Who is worked on holds a turn until it ends; a seat and a stream need none.
func TestTurns(t *testing.T) {
	q := NewRequests()
	guest := Caller{Address: at("192.168.1.20")}
	gone, cancel := context.WithCancel(context.Background())
	cancel()
	var held []func()
	for i := range guestAtOnce {
		leave, why := q.Enter(gone, guest, false, false)
		if why != None {
			t.Fatalf("turn %d: %v", i, why)
		}
		held = append(held, leave)
	}
	if _, why := q.Enter(gone, guest, false, false); why != NoTurn {
		t.Errorf("one more than there are turns: %v", why)
	}
	for name, enter := range map[string]func() Refusal{
		"another guest": func() Refusal {
			_, why := q.Enter(gone, Caller{Address: at("192.168.1.21")}, false, false)
			return why
		},
		"a seat":   func() Refusal { _, why := q.Enter(gone, Caller{Seat: "s1"}, false, false); return why },
		"a stream": func() Refusal { _, why := q.Enter(gone, guest, false, true); return why },
	} {
		if why := enter(); why != None {
			t.Errorf("%s: %v", name, why)
		}
	}
	held[0]()
	if _, why := q.Enter(gone, guest, false, false); why != None {
		t.Errorf("a turn was given back: %v", why)
	}
}

func TestStreams(t *testing.T) {
	guest := Caller{Address: at("192.168.1.20")}
	for _, c := range []struct {
		name    string
		caller  func(i int) Caller
		browser string
		http2   bool
		let     int  // so many listen
		then    Full // what the next hears
	}{
		{"one address", func(int) Caller { return guest }, "", false, streamsOfAddress, TooManyInAll},
		{"all guests", func(i int) Caller { return Caller{Address: netip.AddrFrom4([4]byte{10, 0, byte(i >> 8), byte(i)})} }, "", false, streamsOfGuests, TooManyInAll},
		{"the bench", func(int) Caller { return Caller{Here: true} }, "", false, streamsHere, TooManyInAll},
		{"tabs of a browser", func(int) Caller { return guest }, "b", false, streamsOfBrowser, TooManyTabs},
		{"tabs over HTTP/2", func(int) Caller { return guest }, "b", true, streamsOverHTTP2, TooManyTabs},
	} {
		var s Streams
		var leaves []func()
		for i := range c.let {
			leave, full := s.Enter(c.caller(i), c.browser, c.http2)
			if full != NotFull {
				t.Fatalf("%s: stream %d: %v", c.name, i, full)
			}
			leaves = append(leaves, leave)
		}
		last, full := s.Enter(c.caller(c.let), c.browser, c.http2)
		if full != c.then {
			t.Errorf("%s: one more: %v", c.name, full)
		}
		if last != nil { // it counts while it is told so
			if _, full := s.Enter(c.caller(c.let), c.browser, c.http2); full != TooManyInAll {
				t.Errorf("%s: two more: %v", c.name, full)
			}
			last()
		}
		leaves[0]()
		if _, full := s.Enter(c.caller(0), c.browser, c.http2); full != NotFull {
			t.Errorf("%s: after one left: %v", c.name, full)
		}
		for _, leave := range leaves[1:] {
			leave()
		}
		if here, guests := s.Open(); here+guests != 1 {
			t.Errorf("%s: %d and %d are open still", c.name, here, guests)
		}
	}
}

// Guests of one address have so many connections; a seat's address has its own.
func TestConnections(t *testing.T) {
	n := NewConnections(func(a netip.Addr) bool { return a.IsLoopback() })
	guest := at("192.168.1.20")
	var leaves []func()
	for i := range addressConnected {
		leave, ok := n.enter(guest)
		if !ok {
			t.Fatalf("connection %d was refused", i)
		}
		leaves = append(leaves, leave)
	}
	if _, ok := n.enter(guest); ok || n.Open() != addressConnected {
		t.Errorf("one more was let in; %d are open", n.Open())
	}
	for i := range guestsConnected - addressConnected {
		if _, ok := n.enter(netip.AddrFrom4([4]byte{10, 0, byte(i >> 8), byte(i)})); !ok {
			t.Fatalf("guest %d was refused", i)
		}
	}
	if _, ok := n.enter(at("10.9.9.9")); ok {
		t.Error("more guests than there may be")
	}
	seat := at("192.168.1.99")
	n.Seat(seat)
	if _, ok := n.enter(seat); !ok {
		t.Error("a crowd of guests keeps a seat out")
	}
	leaves[0]()
	if _, ok := n.enter(at("10.9.9.9")); !ok {
		t.Error("a guest left, and nobody may come")
	}
}

// What is too much is closed unread, and this machine is never refused.
func TestListener(t *testing.T) {
	inner, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	n := NewConnections(func(netip.Addr) bool { return false })
	bounded := n.Listen(inner)
	defer func() { _ = bounded.Close() }()
	accepted := make(chan net.Conn, 2)
	go func() {
		for {
			c, err := bounded.Accept()
			if err != nil {
				close(accepted)
				return
			}
			accepted <- c
		}
	}()
	call, err := net.Dial("tcp", inner.Addr().String())
	if err != nil {
		t.Fatal(err)
	}
	c := <-accepted
	if n.Open() != 1 {
		t.Errorf("%d open", n.Open())
	}
	for range 2 { // closing twice is one leaving
		_ = c.Close()
	}
	if n.Open() != 0 {
		t.Errorf("%d open after the end", n.Open())
	}
	_ = call.Close()
}
