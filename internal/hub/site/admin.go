package site

import (
	"errors"
	"net/http"
	"strconv"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/internal/api"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/office"
)

// The cookie of an admin's session. Where the hub is reached by https its name makes
// browsers refuse one that was set over plain http, or by another host.
const (
	cookieName       = "whistlestop_hub"
	cookieNameSecure = "__Host-" + cookieName
)

func (s *Site) secureAddress() bool { return strings.HasPrefix(s.Address, "https://") }

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

// firstPage asks before the link is used up: whoever looks at links before people do,
// such as a mail program, only reads.
func (s *Site) firstPage(w http.ResponseWriter, r *http.Request) {
	s.page(w, r, http.StatusOK, "first", map[string]any{"Secret": r.PathValue("secret"), "Name": s.name(r)})
}

// first uses the link up and opens a session.
func (s *Site) first(w http.ResponseWriter, r *http.Request) {
	if !s.limits.let("sign "+from(r).String(), signRate, signBurst) {
		s.message(w, r, http.StatusTooManyRequests, "hub.too_often")
		return
	}
	token, err := s.Office.Take(r.Context(), office.First, r.PathValue("secret"), office.By{Who: "link", From: origin(r)})
	if errors.Is(err, office.ErrUnknown) {
		s.message(w, r, http.StatusGone, "hub.first_used")
		return
	}
	var secret string
	if err == nil {
		by := office.By{Who: token.ID, From: origin(r)}
		secret, _, err = s.Office.Issue(r.Context(), office.Session, token.Label, office.SessionLasts, by)
	}
	if err != nil {
		s.failPage(w, r, err)
		return
	}
	s.setCookie(w, secret, int(office.SessionLasts/1000))
	http.Redirect(w, r, "/admin", http.StatusSeeOther)
}

// adminHandler answers an admin.
type adminHandler func(w http.ResponseWriter, r *http.Request, by office.By)

// admin lets through who has a session.
func (s *Site) admin(next adminHandler) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		cookie, err := r.Cookie(s.cookieName())
		if err != nil {
			s.message(w, r, http.StatusForbidden, "hub.page.sign_in")
			return
		}
		token, err := s.Office.Known(r.Context(), office.Session, cookie.Value)
		switch {
		case errors.Is(err, office.ErrUnknown):
			s.setCookie(w, "", -1)
			s.message(w, r, http.StatusForbidden, "hub.page.sign_in")
		case err != nil:
			s.failPage(w, r, err)
		default:
			next(w, r, office.By{Who: token.ID, From: origin(r)})
		}
	}
}

// textMost is how long a name may be that somebody types.
const textMost = 60

// typed is what was typed into a field; it says no to what is empty or too long.
func typed(r *http.Request, field string) (string, error) {
	text := strings.Join(strings.Fields(r.FormValue(field)), " ")
	if text == "" || len([]rune(text)) > textMost {
		return "", api.Refuse("hub.page.name_needed", "most", strconv.Itoa(textMost))
	}
	return text, nil
}

// done goes back to the page after a change, or says why there was none.
func (s *Site) done(w http.ResponseWriter, r *http.Request, err error) {
	if err != nil {
		s.failPage(w, r, err)
		return
	}
	http.Redirect(w, r, "/admin", http.StatusSeeOther)
}

func (s *Site) rename(w http.ResponseWriter, r *http.Request, by office.By) {
	name, err := typed(r, "name")
	if err == nil {
		a := office.Association{ID: s.Association, Name: name, Made: s.Now()}
		err = s.Store.Found(r.Context(), a, s.Office.Note(by.Who, "renamed", s.Association, by.From))
	}
	s.done(w, r, err)
}

// pairBench makes a bench's token and shows it, once.
func (s *Site) pairBench(w http.ResponseWriter, r *http.Request, by office.By) {
	s.issue(w, r, by, office.Bench, office.BenchLasts, "/pair#")
}

// linkTeam makes a team's link and shows it, once. What a link of the same team was
// before leads nowhere from now on.
func (s *Site) linkTeam(w http.ResponseWriter, r *http.Request, by office.By) {
	label, err := typed(r, "label")
	if err == nil {
		var list []office.Token
		list, err = s.Office.List(r.Context(), office.Team)
		for _, t := range list {
			if err == nil && t.Label == label {
				err = s.Office.Revoke(r.Context(), t.ID, by)
			}
		}
	}
	if err != nil {
		s.failPage(w, r, err)
		return
	}
	s.issue(w, r, by, office.Team, office.TeamLasts, "/follow/")
}

func (s *Site) issue(w http.ResponseWriter, r *http.Request, by office.By, kind office.Kind, lasts entry.Millis, path string) {
	label, err := typed(r, "label")
	var secret string
	if err == nil {
		secret, _, err = s.Office.Issue(r.Context(), kind, label, lasts, by)
	}
	var picture string
	if err == nil {
		picture, err = s.QR(s.Address + path + secret)
	}
	if err != nil {
		s.failPage(w, r, err)
		return
	}
	s.page(w, r, http.StatusOK, "issued", map[string]any{
		"Name": s.name(r), "Bench": kind == office.Bench, "Label": label, "Link": s.Address + path + secret, "Picture": dataImage(picture),
	})
}

// revoke takes a bench, a link or a session back.
func (s *Site) revoke(w http.ResponseWriter, r *http.Request, by office.By) {
	err := s.Office.Revoke(r.Context(), r.FormValue("id"), by)
	if errors.Is(err, office.ErrUnknown) {
		err = nil // somebody was faster
	}
	s.done(w, r, err)
}

func (s *Site) gameOf(r *http.Request) ledgers.Where {
	return ledgers.Where{Association: s.Association, Game: r.FormValue("game")}
}

// choose decides between the two that went on from one entry.
func (s *Site) choose(w http.ResponseWriter, r *http.Request, by office.By) {
	at := s.gameOf(r)
	branch, err := strconv.Atoi(r.FormValue("branch"))
	if err == nil {
		_, err = s.Store.Choose(r.Context(), at, branch, s.Office.Note(by.Who, "chose", at.Game+" "+strconv.Itoa(branch), by.From))
	}
	s.Live.Moved(at.Game)
	s.done(w, r, err)
}

// handOver fences off the bench that writes a game now.
func (s *Site) handOver(w http.ResponseWriter, r *http.Request, by office.By) {
	at := s.gameOf(r)
	_, err := s.Store.Raise(r.Context(), at, s.Office.Note(by.Who, "handed_over", at.Game, by.From))
	s.Live.Moved(at.Game)
	s.done(w, r, err)
}

// leave ends the session of this browser.
func (s *Site) leave(w http.ResponseWriter, r *http.Request, by office.By) {
	err := s.Office.Revoke(r.Context(), by.Who, by)
	s.setCookie(w, "", -1)
	if errors.Is(err, office.ErrUnknown) {
		err = nil
	}
	if err != nil {
		s.failPage(w, r, err)
		return
	}
	http.Redirect(w, r, "/", http.StatusSeeOther)
}
