package web

import (
	"encoding/json"
	"errors"
	"net/http"
	"strings"

	"whistlestop/internal/bench"
	"whistlestop/rules"
)

// problemJSON is a problem as RFC 9457 writes it, with the refusals of entries
// as an extension.
type problemJSON struct {
	Type    string          `json:"type"`
	Title   string          `json:"title"`
	Status  int             `json:"status"`
	Detail  string          `json:"detail"`
	Refused []rules.Refusal `json:"refused,omitempty"`
	Stale   *staleJSON      `json:"stale,omitempty"` // both versions of an entry that two people edited
}

// kind is the kind of a problem: the last word of its type, and of the key of
// its title.
type kind string

const (
	kindRefused     kind = "refused"
	kindMissing     kind = "missing"
	kindConflict    kind = "conflict"
	kindUnavailable kind = "unavailable"
	kindFaulty      kind = "faulty"
	kindUnreadable  kind = "unreadable"
	kindTooLarge    kind = "too_large"
	kindMethod      kind = "method"
	kindNotHere     kind = "not_here"
	kindTooMany     kind = "too_many"
	kindStale       kind = "stale"
)

func (s *Server) problem(
	w http.ResponseWriter, r *http.Request, status int, k kind, detail string, refused ...rules.Refusal,
) {
	s.sendProblem(w, r, problemJSON{
		Type: "urn:whistlestop:problem:" + string(k), Title: s.text("web.title." + string(k)),
		Status: status, Detail: detail, Refused: refused,
	})
}

func (s *Server) sendProblem(w http.ResponseWriter, r *http.Request, p problemJSON) {
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
func (s *Server) logRefusal(r *http.Request, p problemJSON) {
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
		"path", clip(r.URL.Path), "from", r.RemoteAddr, "here", who.here, "session", who.info.ID)
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

// statuses gives the HTTP status of each kind of problem of the bench.
var statuses = map[bench.Kind]struct {
	status int
	kind   kind
}{
	bench.Refused:     {http.StatusUnprocessableEntity, kindRefused},
	bench.Missing:     {http.StatusNotFound, kindMissing},
	bench.Conflict:    {http.StatusConflict, kindConflict},
	bench.Outdated:    {http.StatusConflict, kindStale},
	bench.Unavailable: {http.StatusServiceUnavailable, kindUnavailable},
	bench.Faulty:      {http.StatusInternalServerError, kindFaulty},
}

// fail answers with what the bench said against a request.
func (s *Server) fail(w http.ResponseWriter, r *http.Request, err error) {
	var p *bench.Problem
	if !errors.As(err, &p) {
		s.Logger.Error("a request failed", "path", r.URL.Path, "error", err)
		s.problem(w, r, http.StatusInternalServerError, kindFaulty, s.text("bench.faulty"))
		return
	}
	as, known := statuses[p.Kind]
	if !known {
		as.status, as.kind = http.StatusInternalServerError, kindFaulty
	}
	details := []string{s.Words.Text(p.Say.Key, p.Say.Args)}
	for _, refusal := range p.Refused {
		if text := s.Words.Text(refusal.Say.Key, refusal.Say.Args); text != details[0] {
			details = append(details, text)
		}
	}
	answer := problemJSON{
		Type: "urn:whistlestop:problem:" + string(as.kind), Title: s.text("web.title." + string(as.kind)),
		Status: as.status, Detail: strings.Join(details, " "), Refused: p.Refused,
	}
	if p.Stale != nil {
		if answer.Stale, err = staleOf(p.Stale); err != nil {
			s.fail(w, r, err)
			return
		}
	}
	s.sendProblem(w, r, answer)
}
