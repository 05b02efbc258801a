package web

import (
	"net/http"
	"path"
	"strings"

	published "whistlestop/api"
	"whistlestop/internal/api"
)

func (s *Server) openAPI(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Cache-Control", "no-cache")
	s.write(w, r, published.API)
}

// own are the operations that this shell answers by itself.
func (s *Server) own() map[string]http.HandlerFunc {
	return map[string]http.HandlerFunc{
		"/api/openapi.json": s.openAPI, "/api/games/{game}/stream": s.stream, "/metrics": s.metricsPage,
	}
}

// pagePaths are the addresses of the one page that all screens are made of.
var pagePaths = []string{
	"/{$}", "/bench", "/bench/{game}", "/box", "/box/{game}", "/wall", "/wall/{game}", "/join", "/seat", "/season", "/desk", "/mine", "/team",
	"/follow", "/follow/{game}", "/report/{game}",
}

// routes leads requests to the operations of the table and to the pages.
func (s *Server) routes() *http.ServeMux {
	mux := http.NewServeMux()
	methods := map[string][]string{}
	add := func(method, path string, handle http.HandlerFunc) {
		name := method + " " + path
		mux.HandleFunc(name, s.metrics.measured(name, handle))
		methods[path] = append(methods[path], method)
	}
	own := s.own()
	for _, o := range s.operations {
		add(o.Method, o.Path, s.answer(&o, own[o.Path]))
	}
	for _, path := range pagePaths {
		add("GET", path, s.page)
	}
	add("GET", "/report/{game}/shared", s.shared)
	add("GET", "/practice", s.practicePage)
	add("GET", "/practice/", s.practice)
	for path, allowed := range methods {
		mux.HandleFunc(path, s.wrongMethod(allowed))
	}
	mux.HandleFunc("/", s.asset)
	mux.HandleFunc("/api/", func(w http.ResponseWriter, r *http.Request) {
		s.problem(w, r, api.NotThere("web.no_api"))
	})
	return mux
}

// openTo lists the operations that pages of other origins may read, as patterns of
// their paths. docs/stream.md promises them, and a test holds every other one shut.
func openTo(operations []api.Operation) (patterns []string) {
	for _, o := range operations {
		if o.Open {
			patterns = append(patterns, strings.ReplaceAll(o.Path, "{game}", "*"))
		}
	}
	return patterns
}

// openToPages reports whether a page of another origin may read what is asked.
func (s *Server) openToPages(r *http.Request) bool {
	for _, pattern := range s.open {
		if fits, err := path.Match(pattern, r.URL.Path); err == nil && fits {
			return r.Header.Get("Origin") != "" // said by browsers; what embeds without a word stays out
		}
	}
	return false
}
