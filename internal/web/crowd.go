package web

import (
	"context"
	"net/http"
	"net/netip"
	"strings"
	"sync"
	"time"

	"golang.org/x/time/rate"

	"whistlestop/internal/api"
)

// How often may be asked (ours). The bench itself is never held up: whatever
// guests do, it gets its answers first.
const (
	seatRate, seatBurst   = 50, 300 // requests a second of one seat: a preview at every key
	guestRate, guestBurst = 30, 150 // of one guest's address: a page is a dozen
	crowdRate, crowdBurst = 600, 1200
	joinRate, joinBurst   = 0.5, 10 // of one address: whole crews join at once, nobody guesses
	// guestsAtOnce are the guests' requests that are worked on at the same time.
	guestsAtOnce = 24
	// guestAtOnce are those of one address: who reads slowly keeps its own turns.
	guestAtOnce = 8
	// guestWaits is how long a guest's request waits for its turn.
	guestWaits = 2 * time.Second
	// visitorsMost bounds the addresses and seats that are remembered.
	visitorsMost = 4096
	// visitorLasts is after how long one that was not heard of is forgotten.
	visitorLasts = 2 * time.Minute
)

// crowd keeps requests of devices from holding up the bench. It is safe for use
// by many goroutines.
type crowd struct {
	turns chan struct{} // a token for each guest's request that is worked on
	all   *rate.Limiter // of all guests together

	mutex    sync.Mutex
	visitors map[string]*visitor
	others   *visitor // everybody for whom there is no room any more
}

// visitor is a seat, or the address of guests.
type visitor struct {
	asks, joins *rate.Limiter
	turns       chan struct{}
	heard       time.Time
}

func newCrowd() *crowd {
	return &crowd{
		turns: make(chan struct{}, guestsAtOnce), all: rate.NewLimiter(crowdRate, crowdBurst),
		visitors: map[string]*visitor{}, others: newVisitor(guestRate, guestBurst),
	}
}

func newVisitor(perSecond rate.Limit, burst int) *visitor {
	return &visitor{
		asks: rate.NewLimiter(perSecond, burst), joins: rate.NewLimiter(joinRate, joinBurst),
		turns: make(chan struct{}, guestAtOnce),
	}
}

// visitor returns the limits of whoever asks.
func (c *crowd) visitor(who caller) *visitor {
	key := "guest " + network(who.address).String()
	if who.session != nil {
		key = "seat " + who.ID
	}
	now := time.Now()
	c.mutex.Lock()
	defer c.mutex.Unlock()
	known := c.visitors[key]
	if known == nil {
		if len(c.visitors) >= visitorsMost {
			for old, v := range c.visitors {
				if now.Sub(v.heard) > visitorLasts {
					delete(c.visitors, old)
				}
			}
		}
		if len(c.visitors) >= visitorsMost && who.session == nil {
			return c.others
		}
		known = newVisitor(guestRate, guestBurst)
		if who.session != nil {
			known = newVisitor(seatRate, seatBurst)
		}
		c.visitors[key] = known
	}
	known.heard = now
	return known
}

// network is what one device can choose its address from: with IPv6 the half of
// the address that tells networks apart.
func network(address netip.Addr) netip.Addr {
	if address.Is6() {
		if prefix, err := address.Prefix(64); err == nil {
			return prefix.Addr()
		}
	}
	return address
}

// hold lets requests through when it is their turn: the bench's always.
func (s *Server) hold(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		who := from(r)
		if who.Here {
			next.ServeHTTP(w, r)
			return
		}
		visitor := s.crowd.visitor(who)
		if !visitor.asks.Allow() || who.session == nil && !s.crowd.all.Allow() ||
			r.URL.Path == "/api/join" && !visitor.joins.Allow() {
			no := api.NewNo(api.StatusTooMany, api.TooMany, "web.too_often")
			no.Again = busyFor
			s.problem(w, r, no)
			return
		}
		if who.session == nil && !lingers(r) {
			for _, turns := range []chan struct{}{visitor.turns, s.crowd.turns} {
				if !turn(r.Context(), turns) {
					s.problem(w, r, busy())
					return
				}
				defer func() { <-turns }()
			}
		}
		next.ServeHTTP(w, r)
	})
}

// busyFor is after how many seconds who was held up may ask again.
const busyFor = 2

// busy says that there is no turn for a request.
func busy() *api.No {
	no := api.NotNow("web.too_often")
	no.Again = busyFor
	return no
}

// turn waits until a guest's request may be worked on.
func turn(ctx context.Context, turns chan<- struct{}) bool {
	select {
	case turns <- struct{}{}:
		return true
	default:
	}
	waited := time.NewTimer(guestWaits)
	defer waited.Stop()
	select {
	case turns <- struct{}{}:
		return true
	case <-waited.C:
	case <-ctx.Done():
	}
	return false
}

// lingers reports whether a request stays open by its nature. Such requests are
// bounded by counters of their own: of streams, of devices that ask to be a seat,
// of devices that get the engine of practice.
func lingers(r *http.Request) bool {
	return strings.HasSuffix(r.URL.Path, "/stream") || strings.HasPrefix(r.URL.Path, "/api/join") || isEngine(r)
}
