package web

import (
	"encoding/json"
	"net/http"

	"whistlestop/game/rules"
	"whistlestop/internal/answer"
)

// kind is the kind of a problem: the last word of its type, and of the key of
// its title.
type kind = answer.Kind

const (
	kindRefused     = answer.Refused
	kindMissing     = answer.Missing
	kindConflict    = answer.Conflict
	kindUnavailable = answer.Unavailable
	kindFaulty      = answer.Faulty
	kindUnreadable  = answer.Unreadable
	kindTooMany     = answer.TooMany
	// Those of the network.
	kindTooLarge kind = "too_large"
	kindMethod   kind = "method"
	kindNotHere  kind = "not_here"
)

func (s *Server) problem(
	w http.ResponseWriter, r *http.Request, status int, k kind, detail string, refused ...rules.Refusal,
) {
	s.sendProblem(w, r, answer.NewProblem(s.Words, status, k, detail, refused...))
}

func (s *Server) sendProblem(w http.ResponseWriter, r *http.Request, p answer.Problem) {
	s.logRefusal(r, p)
	raw, err := json.Marshal(p)
	if err != nil {
		panic(err) // strings and numbers can always be written
	}
	w.Header().Set("Content-Type", "application/problem+json")
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(p.Status)
	s.write(w, r, raw)
}

// Refusals that are logged: after a burst one a second, so that a flood does not
// fill the disk.
const refusalRate, refusalBurst = 1, 60

// logRefusal notes who was refused what, when it may be somebody who tries
// things out.
func (s *Server) logRefusal(r *http.Request, p answer.Problem) {
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
		"path", answer.Clip(r.URL.Path), "from", r.RemoteAddr, "here", who.here, "session", who.info.ID)
}

// write writes an answer. Whoever asked may be gone by then.
func (s *Server) write(w http.ResponseWriter, r *http.Request, raw []byte) {
	if _, err := w.Write(raw); err != nil {
		s.Logger.Debug("an answer was not taken", "path", r.URL.Path, "error", err)
	}
}

// json answers with a value as JSON.
func (s *Server) json(w http.ResponseWriter, r *http.Request, status int, value any) {
	raw, err := json.Marshal(value)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(status)
	s.write(w, r, raw)
}

// fail answers with what the bench said against a request.
func (s *Server) fail(w http.ResponseWriter, r *http.Request, err error) {
	p, known := answer.Why(s.Words, err)
	if !known {
		s.Logger.Error("a request failed", "path", r.URL.Path, "error", err)
	}
	s.sendProblem(w, r, p)
}
