package site

import (
	"net/http"
	"net/netip"
	"net/url"
	"slices"
	"strings"

	"whistlestop/internal/api"
	"whistlestop/internal/hub/people"
	"whistlestop/internal/web/files"
)

// embedRoutes are those by which an association says whose pages may show its games.
func (s *Site) embedRoutes() []route {
	return []route{
		s.need("POST /admin/origin", people.ChangeSettings, people.All, s.letOrigin),
		s.need("POST /admin/origin/end", people.ChangeSettings, people.All, s.endOrigin),
	}
}

// ReadOrigin is the origin of a page as somebody typed its address (RFC 6454, 6.2): https,
// a name, and a port that is not the usual one. An address of a page is cut to it. Empty:
// it is none.
func ReadOrigin(typed string) string {
	at, err := url.Parse(strings.TrimSpace(typed))
	if err != nil || at.Scheme != "https" || at.User != nil {
		return ""
	}
	host := strings.ToLower(at.Hostname())
	_, number := netip.ParseAddr(host)
	named := func(r rune) bool { return r >= 'a' && r <= 'z' || r >= '0' && r <= '9' || r == '.' || r == '-' }
	if number == nil || !strings.Contains(host, ".") || len(host) > 253 || strings.Trim(host, ".-") != host ||
		strings.ContainsFunc(host, func(r rune) bool { return !named(r) }) {
		return ""
	}
	if port := at.Port(); port != "" && port != "443" {
		host += ":" + port
	}
	return "https://" + host
}

func (s *Site) letOrigin(w http.ResponseWriter, r *http.Request, c people.Caller) {
	origin := ReadOrigin(r.FormValue("origin"))
	if origin == "" {
		s.failPage(w, r, api.Refuse("hub.embed.bad"))
		return
	}
	s.done(w, r, s.Store.LetOrigin(r.Context(), s.Association, origin, true, s.note(c, "let_origin", origin)))
}

func (s *Site) endOrigin(w http.ResponseWriter, r *http.Request, c people.Caller) {
	origin := ReadOrigin(r.FormValue("origin"))
	s.done(w, r, s.Store.LetOrigin(r.Context(), s.Association, origin, false, s.note(c, "ended_origin", origin)))
}

// letRead lets a page of a listed origin read an answer about a team's games. Nothing is
// read there that its link does not open, and no cookie comes along (Fetch Standard, 3.2).
func (s *Site) letRead(w http.ResponseWriter, r *http.Request) {
	from := r.Header.Get("Origin")
	w.Header().Add("Vary", "Origin")
	if from == "" {
		return
	}
	list, err := s.Store.Origins(r.Context(), s.Association)
	if err != nil {
		s.Logger.Warn("origins cannot be read", "error", err)
	}
	if slices.Contains(list, from) {
		w.Header().Set("Access-Control-Allow-Origin", from)
	}
}

// letFrame lets pages of listed origins have a team's page in a frame of theirs. It has no
// button that does anything, and a session's cookie does not come into a frame elsewhere.
func (s *Site) letFrame(w http.ResponseWriter, r *http.Request) {
	list, err := s.Store.Origins(r.Context(), s.Association)
	if err != nil {
		s.Logger.Warn("origins cannot be read", "error", err)
	}
	if len(list) == 0 {
		return
	}
	w.Header().Set("Content-Security-Policy",
		strings.Replace(files.Policy, "frame-ancestors 'none'", "frame-ancestors "+strings.Join(list, " "), 1))
	w.Header().Del("X-Frame-Options") // which knows no list
}

// teamPage is the page of a team's link.
func (s *Site) teamPage(w http.ResponseWriter, r *http.Request) {
	s.letFrame(w, r)
	s.Page(w, r)
}
