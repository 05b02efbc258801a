package limits

import (
	"context"
	"net/netip"
	"sync"
	"time"

	"golang.org/x/time/rate"
)

// How often may be asked (ours). The bench itself is never held up: whatever
// guests do, it gets its answers first.
const (
	seatRate, seatBurst     = 50, 300 // requests a second of one seat: a preview at every key
	guestRate, guestBurst   = 30, 150 // of one guest's address: a page is a dozen
	guestsRate, guestsBurst = 600, 1200
	joinRate, joinBurst     = 0.5, 10 // of one address: whole crews join at once, nobody guesses
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

// Caller is who asks, as far as it is counted.
type Caller struct {
	Here    bool   // this machine: the bench itself, which has no limits
	Seat    string // id of the seat's session; empty: a guest
	Address netip.Addr
}

// guest reports whether the caller is neither the bench nor a seat.
func (c Caller) guest() bool { return !c.Here && c.Seat == "" }

// Refusal is why a request is not worked on.
type Refusal int

// Why a request is not worked on.
const (
	None     Refusal = iota
	TooOften         // it was asked too often
	NoTurn           // others are worked on
)

// Requests keeps requests of devices from holding up the bench. It is safe for use
// by many goroutines.
type Requests struct {
	turns Turns         // of all guests
	all   *rate.Limiter // of all guests together

	mutex    sync.Mutex
	visitors map[string]*visitor
	others   *visitor // everybody for whom there is no room any more
}

// visitor is a seat, or the address of guests.
type visitor struct {
	asks, joins *rate.Limiter
	turns       Turns
	heard       time.Time
}

// NewRequests counts none yet.
func NewRequests() *Requests {
	return &Requests{
		turns: NewTurns(guestsAtOnce), all: rate.NewLimiter(guestsRate, guestsBurst),
		visitors: map[string]*visitor{}, others: newVisitor(guestRate, guestBurst),
	}
}

func newVisitor(perSecond rate.Limit, burst int) *visitor {
	return &visitor{
		asks: rate.NewLimiter(perSecond, burst), joins: rate.NewLimiter(joinRate, joinBurst),
		turns: NewTurns(guestAtOnce),
	}
}

// visitor returns the limits of whoever asks.
func (q *Requests) visitor(who Caller) *visitor {
	key := "guest " + network(who.Address).String()
	if who.Seat != "" {
		key = "seat " + who.Seat
	}
	now := time.Now()
	q.mutex.Lock()
	defer q.mutex.Unlock()
	known := q.visitors[key]
	if known == nil {
		if len(q.visitors) >= visitorsMost {
			for old, v := range q.visitors {
				if now.Sub(v.heard) > visitorLasts {
					delete(q.visitors, old)
				}
			}
		}
		if len(q.visitors) >= visitorsMost && who.Seat == "" {
			return q.others
		}
		known = newVisitor(guestRate, guestBurst)
		if who.Seat != "" {
			known = newVisitor(seatRate, seatBurst)
		}
		q.visitors[key] = known
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

// Enter lets a request be worked on when it is its turn: the bench's always. A join
// is one that asks to be a seat. One that lingers stays open by its nature and is
// bounded elsewhere, so it takes no turn. Leave ends what was entered.
func (q *Requests) Enter(ctx context.Context, who Caller, joins, lingers bool) (leave func(), why Refusal) {
	leave = func() {}
	if who.Here {
		return leave, None
	}
	visitor := q.visitor(who)
	if !visitor.asks.Allow() || who.guest() && !q.all.Allow() || joins && !visitor.joins.Allow() {
		return leave, TooOften
	}
	if !who.guest() || lingers {
		return leave, None
	}
	if !visitor.turns.Take(ctx) {
		return leave, NoTurn
	}
	if !q.turns.Take(ctx) {
		visitor.turns.Give()
		return leave, NoTurn
	}
	return func() { q.turns.Give(); visitor.turns.Give() }, None
}

// Turns are how many are worked on at the same time.
type Turns chan struct{}

// NewTurns returns so many.
func NewTurns(most int) Turns { return make(Turns, most) }

// Take waits a while until it is one's turn.
func (t Turns) Take(ctx context.Context) bool {
	select {
	case t <- struct{}{}:
		return true
	default:
	}
	waited := time.NewTimer(guestWaits)
	defer waited.Stop()
	select {
	case t <- struct{}{}:
		return true
	case <-waited.C:
	case <-ctx.Done():
	}
	return false
}

// Give ends a turn.
func (t Turns) Give() { <-t }
