package site

import (
	"encoding/json"
	"errors"
	"net/http"

	"whistlestop/internal/api"
	"whistlestop/internal/hub/passkeys"
	"whistlestop/internal/hub/people"
)

// passkeyRoutes are those that a page's script asks, and what has to do with them.
func (s *Site) passkeyRoutes() []route {
	return []route{
		s.open("GET /passkey.js", s.own("passkey.js", "text/javascript; charset=utf-8")),
		s.signedIn("POST /passkey/add/begin", s.beginAdding),
		s.signedIn("POST /passkey/add", s.addKey),
		s.open("POST /passkey/show/begin", s.beginShowing), // whoever has one is let in by it
		s.open("POST /passkey/show", s.showKey),
		s.signedIn("POST /me/key", s.endKey),
	}
}

// answerJSON is what a page's script sends of a passkey.
type answerJSON struct {
	Ticket string          `json:"ticket"`
	Label  string          `json:"label"`
	Answer json.RawMessage `json:"answer"`
}

func readAnswer(r *http.Request) (a answerJSON, err error) {
	if err := json.NewDecoder(r.Body).Decode(&a); err != nil {
		return a, api.NewNo(api.StatusUnreadable, api.Refused, "hub.unreadable")
	}
	return a, nil
}

// keyProblem is a no about passkeys in words; another error as it is.
func keyProblem(err error) error {
	switch {
	case errors.Is(err, passkeys.ErrNot):
		return api.Refuse("hub.key.not")
	case errors.Is(err, people.ErrGone):
		return api.NewNo(api.StatusGone, api.Missing, "hub.key.slow")
	case errors.Is(err, people.ErrTaken):
		return api.Refuse("hub.key.there")
	case errors.Is(err, people.ErrStale):
		return api.NotHere("hub.key.stale")
	case errors.Is(err, people.ErrBad):
		return api.Refuse("hub.key.label")
	case errors.Is(err, people.ErrLastKey):
		return api.Refuse("hub.key.last")
	}
	return err
}

// asked answers with what a browser is asked, or with why not.
func (s *Site) asked(w http.ResponseWriter, r *http.Request, ask passkeys.Ask, err error) {
	if err != nil {
		s.fail(w, r, keyProblem(err))
		return
	}
	s.json(w, r, ask)
}

// entered answers a script that signed somebody in.
func (s *Site) entered(w http.ResponseWriter, r *http.Request, secret, next string, err error) {
	if err != nil {
		if errors.Is(err, passkeys.ErrNot) {
			s.Logger.Info("a passkey was refused", "error", err)
		}
		s.fail(w, r, keyProblem(err))
		return
	}
	s.setCookie(w, secret, int(people.OthersLast/1000))
	s.json(w, r, map[string]string{"next": next})
}

// noKeys says that browsers cannot have passkeys here.
func (s *Site) noKeys(w http.ResponseWriter, r *http.Request) bool {
	if s.keys == nil {
		s.fail(w, r, api.Refuse("hub.key.nowhere"))
	}
	return s.keys == nil
}

func (s *Site) beginAdding(w http.ResponseWriter, r *http.Request, c people.Caller) {
	if s.noKeys(w, r) {
		return
	}
	ask, err := s.keys.Add(r.Context(), c, s.name(r))
	s.asked(w, r, ask, err)
}

func (s *Site) addKey(w http.ResponseWriter, r *http.Request, c people.Caller) {
	if s.noKeys(w, r) {
		return
	}
	a, err := readAnswer(r)
	var secret string
	if err == nil {
		secret, err = s.keys.Added(r.Context(), c, a.Ticket, a.Label, a.Answer)
	}
	s.entered(w, r, secret, "/me", err)
}

func (s *Site) beginShowing(w http.ResponseWriter, r *http.Request) {
	if s.noKeys(w, r) {
		return
	}
	if !s.limits.let("sign "+from(r).String(), signRate, signBurst) {
		s.problem(w, r, tooOften())
		return
	}
	ask, err := s.keys.Show(r.Context())
	s.asked(w, r, ask, err)
}

func (s *Site) showKey(w http.ResponseWriter, r *http.Request) {
	if s.noKeys(w, r) {
		return
	}
	a, err := readAnswer(r)
	c, failed := s.caller(w, r)
	err = errors.Join(err, failed)
	var secret string
	if err == nil {
		secret, err = s.keys.Shown(r.Context(), c, a.Ticket, a.Answer, origin(r))
	}
	s.entered(w, r, secret, "/admin", err)
}

func (s *Site) endKey(w http.ResponseWriter, r *http.Request, c people.Caller) {
	err := s.People.EndKey(r.Context(), c, r.FormValue("id"))
	switch {
	case errors.Is(err, people.ErrStale):
		s.again(w, r, c)
	case err != nil && !errors.Is(err, people.ErrGone):
		s.failPage(w, r, keyProblem(err))
	default:
		http.Redirect(w, r, "/me", http.StatusSeeOther)
	}
}
