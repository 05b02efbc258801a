package web

import (
	"context"
	"net"
	"net/http"
	"net/netip"
	"strings"

	"whistlestop/internal/api"
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
	api.Caller
	session *seats.Session // a seat, or nil
	address netip.Addr
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
	c := stranger(r)
	if from, err := netip.ParseAddrPort(r.RemoteAddr); err == nil {
		c.Here = s.Own(from.Addr()) && !namedByNetwork(r.Host)
	}
	c.Secure = r.TLS != nil || c.Here && c.address.IsLoopback()
	if cookie, err := r.Cookie(seatCookie(r)); err == nil {
		c.Token = cookie.Value
	}
	if c.Token != "" && !c.Here {
		if c.session = s.Know(&c.Caller); c.session != nil {
			s.connections.Seat(c.address)
		}
	}
	return r.WithContext(context.WithValue(r.Context(), callerKey{}, c))
}

// asGuest is the request as one of somebody who only looks.
func asGuest(r *http.Request) *http.Request {
	return r.WithContext(context.WithValue(r.Context(), callerKey{}, stranger(r)))
}

// stranger is whoever sent a request, with nothing known but the address.
func stranger(r *http.Request) caller {
	c := caller{Caller: api.Caller{Base: "http://" + r.Host, Secure: r.TLS != nil}}
	if r.TLS != nil {
		c.Base = "https://" + r.Host
	}
	if from, err := netip.ParseAddrPort(r.RemoteAddr); err == nil {
		c.address = from.Addr().Unmap()
	}
	c.Address = c.address.String()
	return c
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
