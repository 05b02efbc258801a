package web

import (
	"crypto/rand"
	"encoding/base64"
	"net"
	"net/http"
	"strings"

	"whistlestop/internal/api"
	"whistlestop/internal/web/limits"
)

// Bounded bounds the connections that a listener lets in. The server must be served
// from it wherever others can reach it.
func (s *Server) Bounded(l net.Listener) net.Listener { return s.connections.Listen(l) }

// counted is the caller as the limits count it.
func (c caller) counted() limits.Caller {
	return limits.Caller{Here: c.Here, Seat: c.ID, Address: c.address}
}

// limit lets requests through when it is their turn: the bench's always.
func (s *Server) limit(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		leave, why := s.requests.Enter(r.Context(), from(r).counted(), r.URL.Path == "/api/join", lingers(r))
		defer leave()
		switch why {
		case limits.None:
			next.ServeHTTP(w, r)
		case limits.TooOften:
			no := api.NewNo(api.StatusTooMany, api.TooMany, "web.too_often")
			no.Again = busyFor
			s.problem(w, r, no)
		case limits.NoTurn:
			s.problem(w, r, busy())
		}
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

// lingers reports whether a request stays open by its nature. Such requests are
// bounded by counters of their own: of streams, of devices that ask to be a seat,
// of devices that get the engine of practice.
func lingers(r *http.Request) bool {
	return strings.HasSuffix(r.URL.Path, "/stream") || strings.HasPrefix(r.URL.Path, "/api/join") || isEngine(r)
}

// browserName names the cookie by which the tabs of one browser are counted. It
// says nothing else and is kept nowhere.
const browserName = "whistlestop_browser"

// browserOf tells browsers apart where it can: by the seat, or by the cookie
// that came with the page.
func browserOf(c caller, r *http.Request) string {
	if c.session != nil {
		return "seat " + c.ID
	}
	if cookie, err := r.Cookie(browserName); err == nil && len(cookie.Value) <= 32 {
		return c.address.String() + " " + cookie.Value
	}
	return ""
}

// nameBrowser gives a browser its cookie, with a page.
func nameBrowser(w http.ResponseWriter, r *http.Request) {
	if _, err := r.Cookie(browserName); err == nil {
		return
	}
	raw := make([]byte, 9)
	rand.Read(raw) // never fails
	http.SetCookie(w, &http.Cookie{
		Name: browserName, Value: base64.RawURLEncoding.EncodeToString(raw), Path: "/", HttpOnly: true,
		SameSite: http.SameSiteStrictMode, Secure: r.TLS != nil,
	})
}
