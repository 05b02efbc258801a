package limits

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

// Connections counts connections. It is safe for use by many goroutines.
type Connections struct {
	own func(netip.Addr) bool
	all *rate.Limiter

	mutex     sync.Mutex
	guests    int
	addresses map[netip.Addr]*connected
	seats     map[netip.Addr]time.Time // when a seat was last heard of from there
}

// connected is the connections of one address.
type connected struct {
	open int
	rate *rate.Limiter
	used time.Time
}

// NewConnections counts none yet. Own says whether an address is this machine's.
func NewConnections(own func(netip.Addr) bool) *Connections {
	return &Connections{
		own: own, all: rate.NewLimiter(connectRate, connectBurst),
		addresses: map[netip.Addr]*connected{}, seats: map[netip.Addr]time.Time{},
	}
}

// Listen bounds the connections that a listener lets in.
func (n *Connections) Listen(l net.Listener) net.Listener { return &listener{Listener: l, counts: n} }

// listener closes at once what is too much.
type listener struct {
	net.Listener
	counts *Connections
}

// Accept returns the next connection that is let in.
func (l *listener) Accept() (net.Conn, error) {
	for {
		c, err := l.Listener.Accept()
		if err != nil {
			return nil, err
		}
		from, err := netip.ParseAddrPort(c.RemoteAddr().String())
		if err != nil || l.counts.own(from.Addr()) {
			return c, nil
		}
		leave, ok := l.counts.enter(network(from.Addr().Unmap()))
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
func (n *Connections) enter(from netip.Addr) (leave func(), ok bool) {
	now := time.Now()
	n.mutex.Lock()
	defer n.mutex.Unlock()
	heard, isSeat := n.seats[from]
	isSeat = isSeat && now.Sub(heard) < seatAddressLasts
	at := n.addresses[from]
	if at == nil {
		if len(n.addresses) >= addressesCounted {
			n.forget(now)
		}
		if len(n.addresses) >= addressesCounted {
			return nil, false
		}
		at = &connected{rate: rate.NewLimiter(addressRate, addressBurst)}
		n.addresses[from] = at
	}
	at.used = now
	switch {
	case at.open >= addressConnected, !at.rate.Allow():
		return nil, false
	case !isSeat && (n.guests >= guestsConnected || !n.all.Allow()):
		return nil, false
	}
	at.open++
	if !isSeat {
		n.guests++
	}
	return func() {
		n.mutex.Lock()
		defer n.mutex.Unlock()
		at.open--
		if !isSeat {
			n.guests--
		}
	}, true
}

// Open returns how many connections of guests are open.
func (n *Connections) Open() int {
	n.mutex.Lock()
	defer n.mutex.Unlock()
	return n.guests
}

// forget drops addresses that nobody came from lately. The caller holds the
// mutex.
func (n *Connections) forget(now time.Time) {
	for address, at := range n.addresses {
		if at.open == 0 && now.Sub(at.used) > visitorLasts {
			delete(n.addresses, address)
		}
	}
}

// Seat notes that a seat was heard of from an address.
func (n *Connections) Seat(from netip.Addr) {
	from = network(from)
	now := time.Now()
	n.mutex.Lock()
	defer n.mutex.Unlock()
	if _, known := n.seats[from]; !known && len(n.seats) >= seatAddressesMost {
		for old, heard := range n.seats {
			if now.Sub(heard) > seatAddressLasts {
				delete(n.seats, old)
			}
		}
		if len(n.seats) >= seatAddressesMost {
			return
		}
	}
	n.seats[from] = now
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
