package web

import (
	"errors"
	"mime"
	"net/http"
	"strconv"

	"whistlestop/game/entry"
	"whistlestop/internal/answer"
)

// bodyMost is the most bytes that a request may have: two full rosters with
// long names stay far below it.
const bodyMost = 256 << 10

// read reads the body of a request strictly: JSON, no unknown fields, nothing
// after the end. It answers itself and returns false when that fails.
func (s *Server) read(w http.ResponseWriter, r *http.Request, into any) bool {
	mediaType, _, err := mime.ParseMediaType(r.Header.Get("Content-Type"))
	if err != nil || mediaType != "application/json" {
		s.problem(w, r, http.StatusUnsupportedMediaType, kindUnreadable, s.text("web.not_json"))
		return false
	}
	err = answer.Read(http.MaxBytesReader(w, r.Body, bodyMost), into)
	if err == nil {
		return true
	}
	var large *http.MaxBytesError
	if errors.As(err, &large) {
		s.problem(w, r, http.StatusRequestEntityTooLarge, kindTooLarge,
			s.text("web.too_large", "most", strconv.Itoa(bodyMost>>10)))
		return false
	}
	s.problem(w, r, http.StatusBadRequest, kindUnreadable, s.text("web.unreadable", "why", answer.Plain(err)))
	return false
}

// readDrafts reads the entries of a post or preview, and what is said with them.
func (s *Server) readDrafts(w http.ResponseWriter, r *http.Request) (drafts []entry.Entry, body answer.Entries, ok bool) {
	if !s.read(w, r, &body) {
		return nil, body, false
	}
	drafts, wrong := body.Drafts()
	if wrong != nil {
		s.problem(w, r, http.StatusBadRequest, kindUnreadable, s.Words.Text(wrong.Key, wrong.Args))
		return nil, body, false
	}
	return drafts, body, true
}
