package web

import (
	"bytes"
	"errors"
	"html/template"
	"io/fs"
	"net/http"
	"strings"

	"whistlestop/game/message"
	"whistlestop/internal/web/files"
)

// page sends the one page that all screens are made of: the page looks at its
// own address.
func (s *Server) page(w http.ResponseWriter, r *http.Request) {
	f, err := s.pages.Get("index.html")
	if errors.Is(err, fs.ErrNotExist) {
		s.plainPage(w, r, http.StatusServiceUnavailable, "web.not_built", nil)
		return
	}
	if err != nil {
		s.fail(w, r, err)
		return
	}
	w.Header().Set("Cache-Control", "no-cache")
	nameBrowser(w, r)
	s.sendPage(w, r, f)
}

// asset sends a file of the front end.
func (s *Server) asset(w http.ResponseWriter, r *http.Request) {
	if r.Method != http.MethodGet && r.Method != http.MethodHead {
		s.wrongMethod([]string{http.MethodGet})(w, r)
		return
	}
	name := strings.TrimPrefix(r.URL.Path, "/")
	f, err := s.pages.Get(name)
	if errors.Is(err, fs.ErrNotExist) {
		s.plainPage(w, r, http.StatusNotFound, "web.no_page", nil)
		return
	}
	if err != nil {
		s.fail(w, r, err)
		return
	}
	// The bundler writes a hash of the content into these names.
	if strings.HasPrefix(name, "assets/") {
		w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
	} else {
		w.Header().Set("Cache-Control", "no-cache")
	}
	s.sendPage(w, r, f)
}

// sendPage sends a file of the front end. Whoever asked may be gone by then.
func (s *Server) sendPage(w http.ResponseWriter, r *http.Request, f *files.File) {
	if err := f.Send(w, r); err != nil {
		s.Logger.Debug("a page was not taken", "path", loggedPath(r), "error", err)
	}
}

// bare is a page of one sentence.
var bare = template.Must(template.New("bare").Parse(`<!doctype html>
<html lang="{{.Language}}"><meta charset="utf-8"><meta name="viewport" content="width=device-width">
<title>Whistlestop</title><h1>Whistlestop</h1><p>{{.Text}}</p></html>
`))

func (s *Server) plainPage(w http.ResponseWriter, r *http.Request, status int, key string, args message.Args) {
	words := s.words(r)
	var out bytes.Buffer
	if err := bare.Execute(&out, map[string]string{"Language": words.Language(), "Text": words.Text(key, args)}); err != nil {
		s.fail(w, r, err)
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(status)
	s.write(w, r, out.Bytes())
}
