package site

import (
	"errors"
	"net/http"
	"net/netip"
	"net/url"
	"strconv"
	"strings"

	"whistlestop/internal/api"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/people"
)

// The cookie of a session. Where the hub is reached by https its name makes browsers
// refuse one that was set over plain http, or by another host.
const (
	cookieName       = "whistlestop_hub"
	cookieNameSecure = "__Host-" + cookieName
)

func (s *Site) secureAddress() bool { return strings.HasPrefix(s.Address, "https://") }

// host is the name by which others reach the hub, without a port.
func (s *Site) host() string {
	at, err := url.Parse(s.Address)
	if err != nil {
		return ""
	}
	return at.Hostname()
}

// keyed reports whether browsers can have passkeys here: they belong to a domain, and
// only over https, or on this computer (Web Authentication Level 3, 5.1.2 and 13.4.9).
func (s *Site) keyed() bool {
	host := s.host()
	if _, err := netip.ParseAddr(host); err == nil || host == "" {
		return false
	}
	return s.secureAddress() || host == "localhost"
}

func (s *Site) cookieName() string {
	if s.secureAddress() {
		return cookieNameSecure
	}
	return cookieName
}

func (s *Site) setCookie(w http.ResponseWriter, value string, lasts int) {
	http.SetCookie(w, &http.Cookie{
		Name: s.cookieName(), Value: value, Path: "/", MaxAge: lasts, HttpOnly: true, Secure: s.secureAddress(), SameSite: http.SameSiteLaxMode,
	})
}

// enter is the end of every way to sign in. When the session ends is the hub's to say;
// the cookie lasts as long as the longest of them.
func (s *Site) enter(w http.ResponseWriter, r *http.Request, secret, to string) {
	s.setCookie(w, secret, int(people.OthersLast/1000))
	http.Redirect(w, r, to, http.StatusSeeOther)
}

// note is a line of the log about what a caller does.
func (s *Site) note(c people.Caller, what, object string) ledgers.Note {
	return s.Office.Note(c.By().Who, what, object, c.From)
}

// letSignIn counts tries to sign in, and says no to too many.
func (s *Site) letSignIn(w http.ResponseWriter, r *http.Request) bool {
	if s.limits.let("sign "+from(r).String(), signRate, signBurst) {
		return true
	}
	s.message(w, r, http.StatusTooManyRequests, "hub.too_often")
	return false
}

// signInFirst answers whoever is not signed in and would have to be.
func (s *Site) signInFirst(w http.ResponseWriter, r *http.Request) {
	s.page(w, r, http.StatusForbidden, "sign", s.ways(r, map[string]any{}))
}

// again asks somebody to show once more who they are.
func (s *Site) again(w http.ResponseWriter, r *http.Request, c people.Caller) {
	s.page(w, r, http.StatusForbidden, "again", s.ways(r, map[string]any{"Caller": c}))
}

// refusePage says no to somebody whose rights do not reach so far.
func (s *Site) refusePage(w http.ResponseWriter, r *http.Request, c people.Caller) {
	key := "hub.people.refused"
	if len(c.Held) > 0 {
		key = "hub.people.key_first"
	}
	s.message(w, r, http.StatusForbidden, key)
}

// peopleProblem is a no of the desk in words; another error as it is.
func peopleProblem(err error) error {
	switch {
	case errors.Is(err, people.ErrGone):
		return api.NewNo(api.StatusGone, api.Missing, "hub.people.gone")
	case errors.Is(err, people.ErrRefused):
		return api.NotHere("hub.people.not_yours")
	case errors.Is(err, people.ErrStale):
		return api.NotHere("hub.people.stale")
	case errors.Is(err, people.ErrLastAdmin):
		return api.Refuse("hub.people.last_admin")
	case errors.Is(err, people.ErrTaken):
		return api.Refuse("hub.people.taken")
	case errors.Is(err, people.ErrBad):
		return api.Refuse("hub.people.bad", "most", strconv.Itoa(textMost))
	}
	return err
}

// firstPage asks before the link is used up: whoever looks at links before people do,
// such as a mail program, only reads.
func (s *Site) firstPage(w http.ResponseWriter, r *http.Request) {
	s.page(w, r, http.StatusOK, "first", map[string]any{"Secret": r.PathValue("secret"), "Name": s.name(r), "Most": textMost})
}

// first uses the link up and opens a session.
func (s *Site) first(w http.ResponseWriter, r *http.Request) {
	if !s.letSignIn(w, r) {
		return
	}
	// Before the link is used up: a name that cannot be one costs no link.
	name, err := people.ReadName(r.FormValue("name"))
	if err != nil {
		s.failPage(w, r, peopleProblem(err))
		return
	}
	_, err = s.Office.Take(r.Context(), office.First, r.PathValue("secret"), office.By{Who: "link", From: origin(r)})
	if errors.Is(err, office.ErrUnknown) {
		s.message(w, r, http.StatusGone, "hub.first_used")
		return
	}
	var secret string
	if err == nil {
		secret, err = s.People.First(r.Context(), name, origin(r))
	}
	if err != nil {
		s.failPage(w, r, peopleProblem(err))
		return
	}
	if s.keys != nil { // the passkey is what opens the pages from now on
		s.enter(w, r, secret, "/me")
		return
	}
	s.enter(w, r, secret, "/admin")
}

// leave ends the session of this browser.
func (s *Site) leave(w http.ResponseWriter, r *http.Request, c people.Caller) {
	err := s.People.EndSession(r.Context(), c, c.Session)
	s.setCookie(w, "", -1)
	if errors.Is(err, people.ErrGone) {
		err = nil
	}
	if err != nil {
		s.failPage(w, r, err)
		return
	}
	http.Redirect(w, r, "/", http.StatusSeeOther)
}
