package site

import (
	"errors"
	"io/fs"
	"net/http"

	"whistlestop/internal/api"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/people"
)

// How often a crew's desk may be asked (ours). A link is counted by itself, since the
// calendars of many people are fetched from one address; who tries what is no link is
// counted by address.
const (
	linkRate, linkBurst   = 1, 60 // a second
	guessRate, guessBurst = 5.0 / 60, 20
)

// crews answers what is asked of the crew's desks. Which association it is stands in the
// path, also for whoever has a link and no session; each row of theirs is guarded there.
func (s *Site) crews(w http.ResponseWriter, r *http.Request) {
	if s.Crews == nil {
		s.message(w, r, http.StatusNotFound, "web.no_page")
		return
	}
	if !s.limits.let("crew "+from(r).String(), askRate, askBurst) {
		s.problem(w, r, tooOften())
		return
	}
	s.Crews.ServeHTTP(w, r)
}

// LetLink reports whether a link may be used once more now, by the token in it.
func (s *Site) LetLink(token string) bool {
	return s.limits.let("link "+office.HashOf(token), linkRate, linkBurst)
}

// LetGuess reports whether whoever asks may try a further link that is none.
func (s *Site) LetGuess(r *http.Request) bool {
	return s.limits.let("guess "+from(r).String(), guessRate, guessBurst)
}

// Coordinates returns who asks, for whoever may run the crew's desk of an association, or plan
// its season, and otherwise the error that they are told. A session of another association's is none
// here. What hands people's data out, or takes people out, wants a fresh sign-in.
func (s *Site) Coordinates(r *http.Request, association string, season, writes, fresh bool) (office.By, error) {
	cookie, err := r.Cookie(s.cookieName())
	if err != nil || association != s.Association {
		return office.By{}, api.NotHere("hub.crew.sign_in")
	}
	c, err := s.People.Known(r.Context(), cookie.Value, origin(r), s.keys != nil)
	if errors.Is(err, people.ErrGone) || err == nil && c.Association != s.Association {
		return office.By{}, api.NotHere("hub.crew.sign_in")
	}
	if err != nil {
		return office.By{}, err
	}
	right := people.ReadRota
	switch {
	case season && writes:
		right = people.ChangeSeason
	case season:
		right = people.ReadSeason
	case writes:
		right = people.ChangeRota
	}
	switch {
	case c.Reach(right) < people.All:
		return office.By{}, api.NotHere("hub.people.refused")
	case fresh && !c.Fresh:
		return office.By{}, api.NotHere("hub.people.stale")
	}
	return c.By(), nil
}

// Page sends the one page that all screens are made of.
func (s *Site) Page(w http.ResponseWriter, r *http.Request) {
	f, err := s.front.Get("index.html")
	switch {
	case errors.Is(err, fs.ErrNotExist):
		s.message(w, r, http.StatusServiceUnavailable, "web.not_built")
		return
	case err != nil:
		s.failPage(w, r, err)
		return
	}
	if err := f.Send(w, r); err != nil {
		s.Logger.Debug("a page was not taken", "error", err)
	}
}

// Reminders sends the script that shows reminders on a device.
func (s *Site) Reminders(w http.ResponseWriter, r *http.Request) {
	s.own("reminders.js", "text/javascript; charset=utf-8")(w, r)
}

// Manifest sends what lets a phone put somebody's page on its home screen.
func (s *Site) Manifest(w http.ResponseWriter, r *http.Request) {
	s.own("mine.webmanifest", "application/manifest+json")(w, r)
}

// Refuse tells a person who looks at pages why there is none.
func (s *Site) Refuse(w http.ResponseWriter, r *http.Request, err error) { s.failPage(w, r, err) }
