package web

import (
	"net"
	"net/netip"
	"sync"
	"time"

	"golang.org/x/time/rate"
)

// Connections of guests (ours): how many at once in all and from one address,
// and how many new ones a second. What is more is closed unread, which costs
// next to nothing. This machine has no limit; the address of a seat has one of
// its own, so that a crowd of guests cannot keep it out.
const (
	guestsConnected   = 640
	addressConnected  = 64
	connectRate       = 400
	connectBurst      = 800
	addressRate       = 40
	addressBurst      = 120
	seatAddressLasts  = time.Hour
	addressesCounted  = 4096
	seatAddressesMost = 256
)

// gate counts connections. It is safe for use by many goroutines.
type gate struct {
	own func(netip.Addr) bool
	all *rate.Limiter

	mutex     sync.Mutex
	guests    int
	addresses map[netip.Addr]*doorway
	seats     map[netip.Addr]time.Time // when a seat was last heard of from there
}

// doorway is the connections of one address.
type doorway struct {
	open int
	rate *rate.Limiter
	used time.Time
}

func newGate(own func(netip.Addr) bool) *gate {
	return &gate{
		own: own, all: rate.NewLimiter(connectRate, connectBurst),
		addresses: map[netip.Addr]*doorway{}, seats: map[netip.Addr]time.Time{},
	}
}

// Gate bounds the connections that a listener lets in. The server must be
// served from it wherever others can reach it.
func (s *Server) Gate(l net.Listener) net.Listener { return &gated{Listener: l, gate: s.gate} }

// gated is a listener that closes at once what is too much.
type gated struct {
	net.Listener
	gate *gate
}

// Accept returns the next connection that is let in.
func (l *gated) Accept() (net.Conn, error) {
	for {
		c, err := l.Listener.Accept()
		if err != nil {
			return nil, err
		}
		from, err := netip.ParseAddrPort(c.RemoteAddr().String())
		if err != nil || l.gate.own(from.Addr()) {
			return c, nil
		}
		leave, ok := l.gate.enter(network(from.Addr().Unmap()))
		if ok {
			return &counted{Conn: c, leave: leave}, nil
		}
		if tcp, is := c.(*net.TCPConn); is {
			_ = tcp.SetLinger(0) // nothing is waiting to be sent; forget it at once
		}
		_ = c.Close() // it was never used
	}
}

// enter counts a connection from an address, or refuses it.
func (g *gate) enter(from netip.Addr) (leave func(), ok bool) {
	now := time.Now()
	g.mutex.Lock()
	defer g.mutex.Unlock()
	heard, isSeat := g.seats[from]
	isSeat = isSeat && now.Sub(heard) < seatAddressLasts
	door := g.addresses[from]
	if door == nil {
		if len(g.addresses) >= addressesCounted {
			g.forget(now)
		}
		if len(g.addresses) >= addressesCounted {
			return nil, false
		}
		door = &doorway{rate: rate.NewLimiter(addressRate, addressBurst)}
		g.addresses[from] = door
	}
	door.used = now
	switch {
	case door.open >= addressConnected, !door.rate.Allow():
		return nil, false
	case !isSeat && (g.guests >= guestsConnected || !g.all.Allow()):
		return nil, false
	}
	door.open++
	if !isSeat {
		g.guests++
	}
	return func() {
		g.mutex.Lock()
		defer g.mutex.Unlock()
		door.open--
		if !isSeat {
			g.guests--
		}
	}, true
}

// open returns how many connections of guests are open.
func (g *gate) open() int {
	g.mutex.Lock()
	defer g.mutex.Unlock()
	return g.guests
}

// forget drops addresses that nobody came from lately. The caller holds the
// mutex.
func (g *gate) forget(now time.Time) {
	for address, door := range g.addresses {
		if door.open == 0 && now.Sub(door.used) > visitorLasts {
			delete(g.addresses, address)
		}
	}
}

// seat notes that a seat was heard of from an address.
func (g *gate) seat(from netip.Addr) {
	from = network(from)
	now := time.Now()
	g.mutex.Lock()
	defer g.mutex.Unlock()
	if _, known := g.seats[from]; !known && len(g.seats) >= seatAddressesMost {
		for old, heard := range g.seats {
			if now.Sub(heard) > seatAddressLasts {
				delete(g.seats, old)
			}
		}
		if len(g.seats) >= seatAddressesMost {
			return
		}
	}
	g.seats[from] = now
}

// counted is a connection that is taken off the count when it is closed.
type counted struct {
	net.Conn
	leave func()
	once  sync.Once
}

// Close closes the connection.
func (c *counted) Close() error {
	c.once.Do(c.leave)
	return c.Conn.Close()
}
