package site

import (
	"net/http"
	"net/netip"
	"sync"
	"time"

	"golang.org/x/time/rate"

	"whistlestop/game/entry"
	"whistlestop/internal/api"
)

// How often may be asked (ours). Benches are counted by game and token, since a rink
// shares an address; who has none by address.
const (
	gameRate, gameBurst     = 20, 40 // batches a second of one game
	allRate, allBurst       = 500, 1000
	followRate, followBurst = 1, 60 // new streams of one address: 60 a minute
	askRate, askBurst       = 30, 300
	signRate, signBurst     = 5.0 / 60, 5
	reportRate, reportBurst = 2, 20             // reports on paper, of one session
	countedMost             = 3 * followersMost // a family is counted when it follows and when it asks
	followersMost           = 18_000            // below what a process may open as a rule
	busyFor                 = 2                 // seconds after which to ask again
)

// limits counts what is asked for. It is safe for use by many goroutines.
type limits struct {
	now func() time.Time
	all *rate.Limiter

	mutex  sync.Mutex
	each   map[string]*tallied
	forgot time.Time
}

type tallied struct {
	*rate.Limiter
	used time.Time
}

func newLimits(now func() entry.Millis) *limits {
	at := func() time.Time { return time.UnixMilli(int64(now())) }
	return &limits{now: at, all: rate.NewLimiter(allRate, allBurst), each: map[string]*tallied{}}
}

// let reports whether one more is let, of a kind and a key.
func (l *limits) let(key string, perSecond rate.Limit, burst int) bool {
	now := l.now()
	l.mutex.Lock()
	defer l.mutex.Unlock()
	one := l.each[key]
	if one == nil {
		if len(l.each) >= countedMost && now.Sub(l.forgot) >= forgetEvery {
			l.forget(now)
		}
		if len(l.each) >= countedMost {
			return false // whoever fills the table keeps out strangers, not those who are counted
		}
		one = &tallied{Limiter: rate.NewLimiter(perSecond, burst)}
		l.each[key] = one
	}
	one.used = now
	return one.AllowN(now, 1)
}

// forgetEvery is how often the whole table is looked through, at most: all who come back
// when a hub was started again wait while it is.
const forgetEvery = time.Second

// forget drops those who may do again as much as somebody who was never here, and those
// who were not here for a while.
func (l *limits) forget(now time.Time) {
	l.forgot = now
	for key, one := range l.each {
		if now.Sub(one.used) > 2*time.Minute || one.TokensAt(now) >= float64(one.Burst()) {
			delete(l.each, key)
		}
	}
}

// from is the address of whoever asks, as it is counted: with IPv6 the half that tells
// networks apart, because a device chooses the rest.
func from(r *http.Request) netip.Addr {
	at, err := netip.ParseAddrPort(r.RemoteAddr)
	if err != nil {
		return netip.Addr{}
	}
	address := at.Addr().Unmap()
	if address.Is6() {
		if prefix, err := address.Prefix(64); err == nil {
			return prefix.Addr()
		}
	}
	return address
}

// origin is a shortened address, for the log: it tells networks apart and no device.
func origin(r *http.Request) string {
	address := from(r)
	bits := 24
	if address.Is6() {
		bits = 48
	}
	if prefix, err := address.Prefix(bits); err == nil {
		return prefix.String()
	}
	return ""
}

// tooOften says that something was asked too often.
func tooOften() *api.No {
	no := api.NewNo(api.StatusTooMany, api.TooMany, "hub.too_often")
	no.Again = busyFor
	return no
}
