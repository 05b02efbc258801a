package web

import (
	"context"
	"net"
	"net/http"
	"net/netip"
	"strings"

	"whistlestop/internal/answer"
	"whistlestop/internal/bench"
	"whistlestop/internal/seats"
)

// The cookie that holds a seat's token. On an encrypted connection its name makes
// browsers refuse one that was set over a plain one, or by another host.
const (
	cookieName       = "whistlestop_seat"
	cookieNameSecure = "__Host-" + cookieName
)

// seatCookie names the seat's cookie on the connection of a request.
func seatCookie(r *http.Request) string {
	if r.TLS != nil {
		return cookieNameSecure
	}
	return cookieName
}

// caller is who sent a request.
type caller struct {
	here    bool           // this machine: the bench itself
	session *seats.Session // a seat, or nil
	info    seats.Info     // of the seat
	address netip.Addr
}

// reads reports whether the caller may see everything of a game.
func (c caller) reads(game string) bool {
	return c.here || c.session != nil && c.info.Game == game
}

// poster is the caller as the bench knows it.
func (c caller) poster(saw int) bench.Poster {
	if c.session == nil {
		return bench.Poster{Saw: saw}
	}
	return bench.Poster{Seat: c.info.Seat, Side: c.info.Side, Name: c.info.Device, Saw: saw, LooksOn: c.info.LooksOn}
}

type callerKey struct{}

// from returns who sent a request that came through the guard.
func from(r *http.Request) caller {
	c, _ := r.Context().Value(callerKey{}).(caller)
	return c
}

// identify works out who sent a request. A seat's device that is this machine is
// the bench: whoever is at its keyboard can do everything anyway.
func (s *Server) identify(r *http.Request) *http.Request {
	c := caller{}
	if from, err := netip.ParseAddrPort(r.RemoteAddr); err == nil {
		c.address = from.Addr().Unmap()
		c.here = s.Own(from.Addr()) && !namedByNetwork(r.Host)
	}
	if cookie, err := r.Cookie(seatCookie(r)); err == nil && !c.here {
		if session, info, known := s.Seats.Session(cookie.Value); known {
			c.session, c.info = session, info
			s.gate.seat(c.address)
		}
	}
	return r.WithContext(context.WithValue(r.Context(), callerKey{}, c))
}

// asGuest is the request as one of somebody who only looks.
func asGuest(r *http.Request) *http.Request {
	c := caller{}
	if from, err := netip.ParseAddrPort(r.RemoteAddr); err == nil {
		c.address = from.Addr().Unmap()
	}
	return r.WithContext(context.WithValue(r.Context(), callerKey{}, c))
}

// namedByNetwork reports whether the host is a name that others on the network
// can answer for (mDNS). A page of theirs could carry it and then lead here, so
// a request by such a name is never the bench itself.
func namedByNetwork(host string) bool { return strings.HasSuffix(bareHost(host), ".local") }

// bareHost takes the port and the brackets off a Host header.
func bareHost(host string) string {
	if bare, _, err := net.SplitHostPort(host); err == nil {
		host = bare
	}
	return strings.ToLower(strings.TrimSuffix(strings.Trim(host, "[]"), "."))
}

// access is who may use a route.
type access int

const (
	anyone    access = iota
	gameSeats        // the bench, and the seats of the game that is in the path
	anySeat          // the bench, and every seat
	benchOnly
)

// admit lets through whom the route is for. Reading is what the route lets a
// seat read that not every seat may; empty for what every one may.
func (s *Server) admit(who access, reading bench.Reading, next http.HandlerFunc) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		c := from(r)
		allowed := false
		switch who {
		case anyone:
			allowed = true
		case gameSeats:
			allowed = c.reads(r.PathValue("game"))
		case anySeat:
			allowed = c.here || c.session != nil
		case benchOnly:
			allowed = c.here
		}
		if allowed && !c.here && who != anyone && reading != "" && !bench.Reads(c.info.Seat, reading) {
			s.problem(w, r, http.StatusForbidden, kindNotHere, s.text("web.other_seat"))
			return
		}
		if allowed {
			next(w, r)
			return
		}
		key := "web.seats_only"
		switch {
		case who == benchOnly:
			key = "web.bench_only"
		case c.session != nil:
			key = "web.other_game"
		}
		s.problem(w, r, http.StatusForbidden, kindNotHere, s.text(key))
	}
}

func (s *Server) session(w http.ResponseWriter, r *http.Request) {
	c := from(r)
	s.json(w, r, http.StatusOK, c.answer(r))
}

// answer is what the caller is to the bench.
func (c caller) answer(r *http.Request) answer.Session {
	return answer.Session{
		Here: c.here, Seat: c.info.Seat, Side: c.info.Side, Game: c.info.Game, Device: c.info.Device,
		LooksOn: c.info.LooksOn, Secure: r.TLS != nil || c.here && c.address.IsLoopback(),
	}
}
