package site

import (
	"crypto/subtle"
	"encoding/json"
	"errors"
	"net/http"

	"whistlestop/internal/api"
	"whistlestop/internal/hub/oidc"
	"whistlestop/internal/hub/people"
)

// otherRoutes are those of signing in by another service.
func (s *Site) otherRoutes() []route {
	return []route{
		s.open("POST /other", s.toOther),
		s.open("GET "+OtherBack, s.fromOther), // what came back opens it
		s.signedIn("POST /me/other", s.linkOther),
		s.signedIn("POST /me/other/end", s.endOther),
	}
}

// OtherBack is where browsers come back from another service.
const OtherBack = "/other/back"

// The cookie that says that the browser which comes back is the one that went.
const (
	wayName       = "whistlestop_way"
	wayNameSecure = "__Host-" + wayName
)

func (s *Site) wayName() string {
	if s.secureAddress() {
		return wayNameSecure
	}
	return wayName
}

// way is what is kept of somebody who went to another service.
type way struct {
	oidc.Flow
	Linking bool `json:"linking"` // to be linked with whom they are there; otherwise to sign in
}

// noOther says that there is no other service here.
func (s *Site) noOther(w http.ResponseWriter, r *http.Request) bool {
	if s.Other == nil {
		s.message(w, r, http.StatusNotFound, "hub.other.none")
	}
	return s.Other == nil
}

// toOther sends somebody who wants to sign in to the other service. The try is counted
// when the browser comes back: one that was counted twice would leave a rink, whose people
// share an address, two of them a minute.
func (s *Site) toOther(w http.ResponseWriter, r *http.Request) {
	if !s.noOther(w, r) {
		s.leaveFor(w, r, way{}, "")
	}
}

// linkOther sends whoever is signed in there, to be linked with whom they are.
func (s *Site) linkOther(w http.ResponseWriter, r *http.Request, c people.Caller) {
	switch {
	case s.noOther(w, r):
	case !c.Fresh:
		s.again(w, r, c)
	default:
		s.leaveFor(w, r, way{Linking: true}, c.Person)
	}
}

// leaveFor shows a page that goes to the other service: a form may only be sent to
// ourselves, also by a way round (Content Security Policy Level 3, form-action).
func (s *Site) leaveFor(w http.ResponseWriter, r *http.Request, out way, person string) {
	out.Flow = oidc.NewFlow()
	raw, err := json.Marshal(out)
	var state, at string
	if err == nil { // the state is the secret of a ticket: good once, and for minutes
		state, err = s.People.Issue(r.Context(), people.OtherSignIn, person, raw, people.OtherLasts)
	}
	if err == nil {
		at, err = s.Other.At(r.Context(), state, out.Flow)
	}
	if err != nil {
		s.failPage(w, r, s.otherProblem(err))
		return
	}
	s.setWay(w, state, int(people.OtherLasts/1000))
	s.page(w, r, http.StatusOK, "going", map[string]any{"Name": s.name(r), "Service": s.Other.Name(), "At": at})
}

func (s *Site) setWay(w http.ResponseWriter, value string, lasts int) {
	http.SetCookie(w, &http.Cookie{
		Name: s.wayName(), Value: value, Path: "/", MaxAge: lasts, HttpOnly: true, Secure: s.secureAddress(), SameSite: http.SameSiteLaxMode,
	})
}

// fromOther is where a browser comes back.
func (s *Site) fromOther(w http.ResponseWriter, r *http.Request) {
	if s.noOther(w, r) || !s.letSignIn(w, r) {
		return
	}
	who, went, person, err := s.cameBack(w, r)
	var c people.Caller
	if err == nil {
		c, err = s.caller(w, r)
	}
	if err != nil {
		s.failPage(w, r, s.otherProblem(err))
		return
	}
	if went.Linking {
		if c.Person != person {
			err = people.ErrGone // somebody else signed in meanwhile
		} else {
			err = s.People.LinkIdentity(r.Context(), c, who.Issuer, who.Subject)
		}
		s.doneAt(w, r, "/me", s.otherProblem(err))
		return
	}
	secret, err := s.People.EnterByOther(r.Context(), c, who.Issuer, who.Subject, s.keys != nil, origin(r))
	switch {
	case errors.Is(err, people.ErrGone):
		s.failPage(w, r, api.NotHere("hub.other.unknown", "service", s.Other.Name()))
	case errors.Is(err, people.ErrRefused):
		s.failPage(w, r, api.NotHere("hub.other.admin"))
	case err != nil:
		s.failPage(w, r, err)
	default:
		s.enter(w, r, secret, "/admin")
	}
}

// cameBack holds what a browser brought against what was kept when it went: the same
// browser, in time, once. It asks the service who that is.
func (s *Site) cameBack(w http.ResponseWriter, r *http.Request) (who oidc.Who, went way, person string, err error) {
	cookie, err := r.Cookie(s.wayName())
	if err != nil {
		return who, went, "", people.ErrGone
	}
	s.setWay(w, "", -1)
	state := r.URL.Query().Get("state")
	if state == "" || subtle.ConstantTimeCompare([]byte(state), []byte(cookie.Value)) != 1 {
		return who, went, "", people.ErrGone
	}
	ticket, err := s.People.Take(r.Context(), people.OtherSignIn, state)
	if err != nil {
		return who, went, "", err
	}
	if err := json.Unmarshal(ticket.Data, &went); err != nil {
		return who, went, "", people.ErrGone
	}
	code := r.URL.Query().Get("code")
	if code == "" { // the service said no, or the person did
		return who, went, "", oidc.ErrNot
	}
	who, err = s.Other.Finish(r.Context(), went.Flow, code)
	return who, went, ticket.Person, err
}

// endOther takes the link with the other service away.
func (s *Site) endOther(w http.ResponseWriter, r *http.Request, c people.Caller) {
	if !c.Fresh {
		s.again(w, r, c)
		return
	}
	err := s.People.EndIdentities(r.Context(), c, r.FormValue("issuer"))
	if errors.Is(err, people.ErrGone) {
		err = nil
	}
	s.doneAt(w, r, "/me", err)
}

// otherProblem is a no of another service in words; another error as it is.
func (s *Site) otherProblem(err error) error {
	switch {
	case errors.Is(err, oidc.ErrDown):
		s.Logger.Warn("the other service cannot be used", "error", err)
		return api.NotNow("hub.other.down")
	case errors.Is(err, oidc.ErrNot):
		s.Logger.Warn("a sign-in by the other service was refused", "error", err)
		return api.NotHere("hub.other.not")
	case errors.Is(err, people.ErrTaken):
		return api.Refuse("hub.other.taken")
	case errors.Is(err, people.ErrStale):
		return api.NotHere("hub.key.stale")
	case errors.Is(err, people.ErrGone):
		return api.NewNo(api.StatusGone, api.Missing, "hub.other.gone")
	}
	return err
}
