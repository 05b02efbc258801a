package web

import (
	"context"
	"errors"
	"io"
	"mime"
	"net/http"
	"strconv"
	"time"

	"whistlestop/internal/api"
)

// bodyMost is the most bytes that a request may have as a rule: two full rosters
// with long names stay far below it.
const bodyMost = 256 << 10

// pagePolicy is the policy of a report's page: it brings its own styles, and
// nothing of it may be carried out.
const pagePolicy = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; " +
	"base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

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
			raw, err := body(w, r, o)
			if o.Waits > 0 {
				s.wait(w, o.Waits)
			}
			return raw, err
		},
	}
}

// wait lets the answer to a request take its time. The server's limits are for
// requests that end sooner. Where they cannot be lifted the question ends with
// them, and is asked again.
func (s *Server) wait(w http.ResponseWriter, long time.Duration) {
	control := http.NewResponseController(w)
	for _, err := range []error{
		control.SetReadDeadline(time.Time{}), control.SetWriteDeadline(time.Now().Add(long + writeWithin)),
	} {
		if err != nil {
			s.Logger.Debug("a long question keeps the usual limits", "error", err)
		}
	}
}

// body reads the body of a request, if it is of the operation's media type and
// not larger than it may be.
func body(w http.ResponseWriter, r *http.Request, o *api.Operation) ([]byte, error) {
	media, wrong := o.TakesMedia, o.WrongMedia
	if media == "" {
		media, wrong = "application/json", "web.not_json"
	}
	if wrong != "" { // a file is taken however it is called
		if has, _, err := mime.ParseMediaType(r.Header.Get("Content-Type")); err != nil || has != media {
			return nil, api.NewNo(api.StatusWrongMedia, api.Unreadable, wrong)
		}
	}
	most := o.Most
	if most == 0 {
		most = bodyMost
	}
	raw, err := io.ReadAll(http.MaxBytesReader(w, r.Body, int64(most)))
	var large *http.MaxBytesError
	switch {
	case err == nil:
		return raw, nil
	case !errors.As(err, &large):
		return nil, api.Unread("web.unreadable", "why", api.Plain(err))
	case o.TooLarge != "":
		return nil, api.NewNo(api.StatusTooLarge, api.TooLarge, o.TooLarge, "most", strconv.Itoa(most>>20))
	default:
		return nil, api.NewNo(api.StatusTooLarge, api.TooLarge, "web.too_large", "most", strconv.Itoa(most>>10))
	}
}

// send sends an answer of the API.
func (s *Server) send(w http.ResponseWriter, r *http.Request, status int, f api.File) {
	h := w.Header()
	if f.Page {
		h.Set("Content-Security-Policy", pagePolicy)
	}
	h.Set("Content-Type", f.Media)
	if f.Name != "" {
		h.Set("Content-Disposition", mime.FormatMediaType("inline", map[string]string{"filename": f.Name}))
	}
	h.Set("Cache-Control", "no-store")
	w.WriteHeader(status)
	s.write(w, r, f.Raw)
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
