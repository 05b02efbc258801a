package web

import (
	"net/http"
	"net/netip"
	"net/url"
	"slices"
	"strings"

	"whistlestop/internal/api"
	"whistlestop/internal/web/files"
)

// secure sets the headers that every answer carries.
func (s *Server) secure(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		files.Secure(h)
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		next.ServeHTTP(w, r)
	})
}

// guard refuses requests that did not come by an address of this machine, or
// that another page made the browser send, and says who sent the others.
func (s *Server) guard(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !s.knownHost(r.Host) {
			// A foreign name that leads here is how a web page elsewhere gets
			// at programs in a local network (DNS rebinding).
			s.problem(w, r, api.NewNo(http.StatusMisdirectedRequest, api.Elsewhere, "web.unknown_host", "host", api.Clip(r.Host)))
			return
		}
		reads := r.Method == http.MethodGet || r.Method == http.MethodHead
		if foreign(r, reads) {
			if (reads || r.Method == http.MethodOptions) && s.openToPages(r) {
				s.forPages(w, r, next)
				return
			}
			s.problem(w, r, api.NotHere("web.foreign_origin"))
			return
		}
		next.ServeHTTP(w, s.identify(r))
	})
}

// knownHost reports whether a Host header names this machine.
func (s *Server) knownHost(host string) bool {
	name := bareHost(host)
	if name == "" {
		return false
	}
	if name == "localhost" || strings.HasSuffix(name, ".localhost") ||
		slices.ContainsFunc(s.Hosts, func(host string) bool { return strings.EqualFold(host, name) }) {
		return true
	}
	address, err := netip.ParseAddr(name)
	return err == nil && s.Own(address)
}

// foreign reports whether a page of another origin sent the request. A
// navigation may come from anywhere, as long as it only reads a page; what reads
// or writes games may not.
func foreign(r *http.Request, reads bool) bool {
	if origin := r.Header.Get("Origin"); origin != "" {
		from, err := url.Parse(origin)
		return err != nil || from.Host == "" || !strings.EqualFold(from.Host, r.Host)
	}
	switch r.Header.Get("Sec-Fetch-Site") {
	case "", "same-origin", "none": // not a browser; our own page; typed by a person
		return false
	default:
		return !reads || strings.HasPrefix(r.URL.Path, "/api/")
	}
}
