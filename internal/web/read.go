package web

import (
	"encoding/json"
	"errors"
	"io"
	"mime"
	"net/http"
	"strconv"
	"strings"

	"whistlestop/entry"
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
	decoder := json.NewDecoder(http.MaxBytesReader(w, r.Body, bodyMost))
	decoder.DisallowUnknownFields()
	err = decoder.Decode(into)
	if err == nil {
		if _, after := decoder.Token(); after != io.EOF {
			err = errors.New("there is more after the end")
		}
	}
	if err == nil {
		return true
	}
	var large *http.MaxBytesError
	if errors.As(err, &large) {
		s.problem(w, r, http.StatusRequestEntityTooLarge, kindTooLarge,
			s.text("web.too_large", "most", strconv.Itoa(bodyMost>>10)))
		return false
	}
	s.problem(w, r, http.StatusBadRequest, kindUnreadable, s.text("web.unreadable", "why", plain(err)))
	return false
}

// readDrafts reads the entries of a post or preview, and the seq of the state
// that they were made from; 0 if it is not said.
func (s *Server) readDrafts(w http.ResponseWriter, r *http.Request) (drafts []entry.Entry, saw int, ok bool) {
	var body entriesJSON
	if !s.read(w, r, &body) {
		return nil, 0, false
	}
	drafts = make([]entry.Entry, len(body.Entries))
	for i, raw := range body.Entries {
		if err := drafts[i].UnmarshalJSON(raw); err != nil {
			s.problem(w, r, http.StatusBadRequest, kindUnreadable,
				s.text("web.entry_unreadable", "place", strconv.Itoa(i+1), "why", plain(err)))
			return nil, 0, false
		}
	}
	return drafts, body.Saw, true
}

// plain takes the package's name off an error of the JSON decoder and shortens
// what may quote a stranger.
func plain(err error) string {
	if errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, io.EOF) {
		return "it ends in the middle"
	}
	return clip(strings.TrimPrefix(err.Error(), "json: "))
}
