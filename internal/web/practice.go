package web

import (
	"errors"
	"io/fs"
	"net/http"
	"strings"
	"time"

	"whistlestop/internal/web/files"
)

const (
	// engineWithin is how long the engine may take to a device: two megabytes,
	// over a hall's wireless network.
	engineWithin = time.Minute
	// enginesAtOnce are the guests that get it at the same time. They have turns of
	// their own: whoever reads slowly holds up nobody who follows the game.
	enginesAtOnce = 8
)

// practicePage leads to the practice site, whose addresses are relative.
func (s *Server) practicePage(w http.ResponseWriter, r *http.Request) {
	http.Redirect(w, r, "/practice/", http.StatusMovedPermanently)
}

// practice sends a file of the practice site.
func (s *Server) practice(w http.ResponseWriter, r *http.Request) {
	name := strings.TrimPrefix(r.URL.Path, "/")
	if name == "practice/" {
		name += "index.html"
	}
	f, err := s.pages.Get(name)
	if errors.Is(err, fs.ErrNotExist) {
		if name == "practice/index.html" {
			s.plainPage(w, r, http.StatusServiceUnavailable, "web.not_built", nil)
			return
		}
		s.plainPage(w, r, http.StatusNotFound, "web.no_page", nil)
		return
	}
	if err != nil {
		s.fail(w, r, err)
		return
	}
	if isEngine(r) {
		if !from(r).Here {
			if !s.engines.Take(r.Context()) {
				s.problem(w, r, busy())
				return
			}
			defer s.engines.Give()
		}
		if err := http.NewResponseController(w).SetWriteDeadline(time.Now().Add(engineWithin)); err != nil &&
			!errors.Is(err, http.ErrNotSupported) { // the usual time remains
			s.Logger.Debug("no further time for the engine", "error", err)
		}
	}
	w.Header().Set("Content-Security-Policy", files.PracticePolicy)
	w.Header().Set("Cache-Control", "no-cache")
	s.sendPage(w, r, f)
}

// isEngine reports whether a request is for an engine or the letters of a whole part of
// the world, by far the largest files.
func isEngine(r *http.Request) bool {
	for _, large := range []string{"engine.", "bench.", "press.", "faces/"} {
		if strings.HasPrefix(r.URL.Path, "/practice/"+large) {
			return true
		}
	}
	return false
}
