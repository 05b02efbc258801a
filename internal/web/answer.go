package web

import (
	"context"
	"errors"
	"net/http"
	"time"

	"whistlestop/internal/api"
	"whistlestop/internal/web/carry"
)

// answer answers requests of an operation. Own is what answers them where the
// table leaves that to the shell.
func (s *Server) answer(o *api.Operation, own http.HandlerFunc) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		c := s.call(w, r, o)
		if err := o.Admit(c); err != nil {
			s.fail(w, r, err)
			return
		}
		if own != nil {
			own(w, r)
			return
		}
		if o.Waits > 0 {
			ctx, cancel := context.WithCancel(r.Context())
			defer cancel()
			defer context.AfterFunc(s.ending, cancel)()
			c.Context = ctx
		}
		status, file, err := o.Run(c)
		if err != nil {
			s.fail(w, r, err)
			return
		}
		if c.Location != "" {
			w.Header().Set("Location", c.Location)
		}
		switch {
		case c.Paired != "":
			http.SetCookie(w, cookie(r, c.Paired, 0))
		case c.Leaves:
			http.SetCookie(w, cookie(r, "", -1))
		}
		s.send(w, r, status, file)
	}
}

// cookie is the cookie of a seat. A negative age takes it away.
func cookie(r *http.Request, token string, age int) *http.Cookie {
	return &http.Cookie{
		Name: seatCookie(r), Value: token, Path: "/", MaxAge: age, HttpOnly: true, SameSite: http.SameSiteStrictMode, Secure: r.TLS != nil,
	}
}

// call is a request as the API knows it.
func (s *Server) call(w http.ResponseWriter, r *http.Request, o *api.Operation) *api.Call {
	return &api.Call{
		Context: r.Context(), Caller: from(r).Caller, Common: s.common, Words: s.words(r), Now: s.Bench.Now(), Part: r.PathValue,
		Query: func(name string) string { return r.URL.Query().Get(name) },
		Body: func() ([]byte, error) {
			raw, err := carry.Body(w, r, o)
			if o.Waits > 0 {
				s.wait(w, o.Waits)
			}
			return raw, err
		},
	}
}

// wait lets the answer to a request take its time.
func (s *Server) wait(w http.ResponseWriter, long time.Duration) {
	if err := carry.Wait(w, long, writeWithin); err != nil {
		s.Logger.Debug("a long question keeps the usual limits", "error", err)
	}
}

// send sends an answer of the API. Whoever asked may be gone by then.
func (s *Server) send(w http.ResponseWriter, r *http.Request, status int, f api.File) {
	if err := carry.Send(w, status, f); err != nil {
		s.Logger.Debug("an answer was not taken", "path", loggedPath(r), "error", err)
	}
}

// shared answers with the page for parents, and says in a page why not.
func (s *Server) shared(w http.ResponseWriter, r *http.Request) {
	file, err := s.Shared(s.call(w, r, &api.Operation{}))
	var no *api.No
	switch {
	case err == nil:
		s.send(w, r, http.StatusOK, file)
	case errors.As(err, &no) && (no.Status == http.StatusForbidden || no.Status == http.StatusNotFound):
		s.plainPage(w, r, no.Status, no.Say.Key, no.Say.Args)
	default:
		s.fail(w, r, err)
	}
}
