package site

import (
	"context"
	"errors"
	"net/http"
	"strings"

	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/people"
)

// linkRoutes are those of links that sign in.
func (s *Site) linkRoutes() []route {
	return []route{
		s.open("GET /sign-in", s.signInPage),
		s.open("POST /sign-in", s.mailLink), // the same answer to everybody
		s.open("GET /in/{secret}", s.inPage),
		s.open("POST /in/{secret}", s.in), // the secret opens it
		s.fresh("POST /people/link", people.ChangePeople, people.Own, s.handLink),
	}
}

// ways is what a page says about how to sign in here.
func (s *Site) ways(r *http.Request, data map[string]any) map[string]any {
	data["Name"], data["Keyed"], data["Mail"] = s.name(r), s.keys != nil, s.Sender != nil
	data["Query"], data["Other"] = "", ""
	if s.Other != nil {
		data["Other"] = s.Other.Name()
	}
	if r.URL.Query().Get("association") != "" {
		data["Query"] = "?association=" + s.Association
	}
	return data
}

func (s *Site) signInPage(w http.ResponseWriter, r *http.Request) {
	s.page(w, r, http.StatusOK, "sign", s.ways(r, map[string]any{}))
}

// Mail that was asked for: so often an address, known or not (section 8 of the hub's
// requirements).
const (
	mailRate  = 5.0 / 3600
	mailBurst = 5
)

// mailLink sends a link to an address if somebody here has it. It answers before it
// looks, so that neither words nor time tell whether there is one.
func (s *Site) mailLink(w http.ResponseWriter, r *http.Request) {
	if !s.letSignIn(w, r) {
		return
	}
	if s.Sender == nil {
		s.message(w, r, http.StatusNotFound, "hub.link.no_mail")
		return
	}
	address, err := people.ReadAddress(r.FormValue("address"))
	if err != nil || address == "" {
		s.failPage(w, r, peopleProblem(people.ErrBad))
		return
	}
	if !s.limits.let("mail "+office.HashOf(address), mailRate, mailBurst) {
		s.message(w, r, http.StatusTooManyRequests, "hub.link.often")
		return
	}
	m := people.SignInMail{Association: s.Association, AssociationName: s.name(r), Address: address, Language: s.words(r).Language()}
	ctx := context.WithoutCancel(r.Context())
	s.letters.Go(func() { s.sendLink(ctx, m) })
	s.message(w, r, http.StatusOK, "hub.link.sent")
}

func (s *Site) sendLink(ctx context.Context, m people.SignInMail) {
	secret, p, err := s.People.LinkFor(ctx, m.Address)
	if errors.Is(err, people.ErrGone) {
		return
	}
	if err == nil {
		m.Name, m.Link, m.Ends = p.Name, s.Address+"/in/"+secret, s.Now()+people.LinkLasts
		err = s.Sender.SignIn(ctx, m)
	}
	if err != nil {
		s.Logger.Error("a link to sign in was not sent", "error", err)
	}
}

// inPage asks before the link is used up: whoever looks at links before people do, such
// as a mail program, only reads.
func (s *Site) inPage(w http.ResponseWriter, r *http.Request) {
	err := s.People.LinkGood(r.Context(), r.PathValue("secret"))
	switch {
	case errors.Is(err, people.ErrGone):
		s.message(w, r, http.StatusGone, "hub.link.gone")
	case err != nil:
		s.failPage(w, r, err)
	default:
		s.page(w, r, http.StatusOK, "in", map[string]any{"Name": s.name(r), "Secret": r.PathValue("secret")})
	}
}

func (s *Site) in(w http.ResponseWriter, r *http.Request) {
	if !s.letSignIn(w, r) {
		return
	}
	c, err := s.caller(w, r)
	var secret string
	if err == nil {
		secret, err = s.People.EnterByLink(r.Context(), c, r.PathValue("secret"), origin(r))
	}
	switch {
	case errors.Is(err, people.ErrGone):
		s.message(w, r, http.StatusGone, "hub.link.gone")
	case err != nil:
		s.failPage(w, r, err)
	default:
		s.enter(w, r, secret, "/admin")
	}
}

// handLink shows a link that signs somebody in, to be handed over, once.
func (s *Site) handLink(w http.ResponseWriter, r *http.Request, c people.Caller) {
	secret, p, err := s.People.HandLink(r.Context(), c, r.FormValue("id"))
	if err != nil {
		s.failPage(w, r, peopleProblem(err))
		return
	}
	s.handed(w, r, "/in/"+secret, map[string]any{"Person": strings.TrimSpace(p.Name), "Ends": s.Now() + people.LinkLasts})
}

// handed shows a link to be handed over, as text and as a code to scan, once.
func (s *Site) handed(w http.ResponseWriter, r *http.Request, path string, data map[string]any) {
	link := s.Address + path
	picture, err := s.QR(link)
	if err != nil {
		s.failPage(w, r, err)
		return
	}
	data["Name"], data["Link"], data["Picture"] = s.name(r), link, dataImage(picture)
	s.page(w, r, http.StatusOK, "handed", data)
}
