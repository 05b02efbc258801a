package web

import (
	"encoding/json"
	"errors"
	"net/http"
	"strconv"
	"strings"

	"whistlestop/internal/api"
)

// problem answers with a no of the shell itself.
func (s *Server) problem(w http.ResponseWriter, r *http.Request, no *api.No) { s.fail(w, r, no) }

func (s *Server) sendProblem(w http.ResponseWriter, r *http.Request, p api.Problem) {
	s.logRefusal(r, p)
	raw, err := json.Marshal(p)
	if err != nil {
		panic(err) // strings and numbers can always be written
	}
	w.Header().Set("Content-Type", "application/problem+json")
	w.Header().Set("Content-Language", s.words(r).Language())
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(p.Status)
	s.write(w, r, raw)
}

// Refusals that are logged: after a burst one a second, so that a flood does not
// fill the disk.
const refusalRate, refusalBurst = 1, 60

// logRefusal notes who was refused what, when it may be somebody who tries
// things out.
func (s *Server) logRefusal(r *http.Request, p api.Problem) {
	switch p.Status {
	case http.StatusForbidden, http.StatusConflict, http.StatusGone, http.StatusMisdirectedRequest,
		http.StatusTooManyRequests:
	default:
		return
	}
	if !s.refusals.Allow() {
		return
	}
	who := from(r)
	s.Logger.Warn("a request was refused", "status", p.Status, "type", p.Type, "method", r.Method,
		"path", api.Clip(loggedPath(r)), "from", r.RemoteAddr, "here", who.Here, "session", who.ID)
}

// loggedPath is the path of a request without the token of a link, which opens
// somebody's page.
func loggedPath(r *http.Request) string {
	for _, page := range []string{"/api/crew/mine/", "/api/crew/team/"} {
		if strings.HasPrefix(r.URL.Path, page) {
			return page
		}
	}
	return r.URL.Path
}

// write writes an answer. Whoever asked may be gone by then.
func (s *Server) write(w http.ResponseWriter, r *http.Request, raw []byte) {
	if _, err := w.Write(raw); err != nil {
		s.Logger.Debug("an answer was not taken", "path", loggedPath(r), "error", err)
	}
}

// fail answers with what was said against a request.
func (s *Server) fail(w http.ResponseWriter, r *http.Request, err error) {
	p, known := api.Why(s.words(r), err)
	if !known {
		s.Logger.Error("a request failed", "path", loggedPath(r), "error", err)
	}
	var no *api.No
	if errors.As(err, &no) && no.Again > 0 {
		w.Header().Set("Retry-After", strconv.Itoa(no.Again))
	}
	s.sendProblem(w, r, p)
}
