package web

import (
	"net/http"
	"path"
)

// openReads are what pages of other origins may read: a club's page, an overlay
// of a broadcast. docs/stream.md promises them, and a test holds every other
// operation shut.
var openReads = []string{
	"/api/games/*", "/api/games/*/stream", "/api/time", "/api/openapi.json",
}

// openToPages reports whether a page of another origin may read what is asked.
func openToPages(r *http.Request) bool {
	for _, pattern := range openReads {
		if fits, err := path.Match(pattern, r.URL.Path); err == nil && fits {
			return r.Header.Get("Origin") != "" // said by browsers; what embeds without a word stays out
		}
	}
	return false
}

// forPages lets a page of another origin read, as a guest whatever the browser is
// to the bench otherwise: the page is a stranger also on the bench's own computer.
func (s *Server) forPages(w http.ResponseWriter, r *http.Request, next http.Handler) {
	h := w.Header()
	h.Set("Access-Control-Allow-Origin", "*")
	h.Set("Cross-Origin-Resource-Policy", "cross-origin")
	h.Add("Vary", "Origin")
	if r.Method == http.MethodOptions {
		h.Set("Access-Control-Allow-Methods", "GET, HEAD")
		h.Set("Access-Control-Max-Age", "600")
		if r.Header.Get("Access-Control-Request-Private-Network") == "true" {
			h.Set("Access-Control-Allow-Private-Network", "true")
		}
		w.WriteHeader(http.StatusNoContent)
		return
	}
	next.ServeHTTP(w, asGuest(r))
}
