package web

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"html/template"
	"io/fs"
	"net/http"
	"path"
	"strconv"
	"strings"
	"sync"

	"whistlestop/game/message"
)

// pages is the front end: files that never change while the program runs.
type pages struct {
	files fs.FS

	mutex sync.Mutex
	ready map[string]*file // files that were asked for, with their packed form
}

// file is one file as it is sent.
type file struct {
	mediaType string
	tag       string
	plain     []byte
	packed    []byte // gzip; nil where it does not pay
}

// mediaTypes are those of the front end. The system's own table differs from
// machine to machine.
var mediaTypes = map[string]string{
	".html": "text/html; charset=utf-8", ".js": "text/javascript; charset=utf-8",
	".css": "text/css; charset=utf-8", ".svg": "image/svg+xml", ".json": "application/json",
	".txt": "text/plain; charset=utf-8", ".webmanifest": "application/manifest+json",
	".woff2": "font/woff2", ".png": "image/png", ".ico": "image/x-icon",
}

func newPages(files fs.FS) *pages { return &pages{files: files, ready: map[string]*file{}} }

// get returns a file. It returns fs.ErrNotExist for what is not there.
func (p *pages) get(name string) (*file, error) {
	p.mutex.Lock()
	defer p.mutex.Unlock()
	if known := p.ready[name]; known != nil {
		return known, nil
	}
	if !fs.ValidPath(name) || strings.HasPrefix(path.Base(name), ".") {
		return nil, fs.ErrNotExist
	}
	info, err := fs.Stat(p.files, name)
	if err != nil || info.IsDir() {
		return nil, fs.ErrNotExist
	}
	raw, err := fs.ReadFile(p.files, name)
	if err != nil {
		return nil, err
	}
	mediaType, known := mediaTypes[path.Ext(name)]
	if !known {
		mediaType = "application/octet-stream"
	}
	sum := sha256.Sum256(raw)
	f := &file{mediaType: mediaType, tag: `"` + hex.EncodeToString(sum[:12]) + `"`, plain: raw}
	if path.Ext(name) != ".xz" { // what is packed goes out as it is, and whoever asked unpacks it
		if packed := pack(raw); len(packed) < len(raw)*9/10 {
			f.packed = packed
		}
	}
	p.ready[name] = f
	return f, nil
}

func pack(raw []byte) []byte {
	var out bytes.Buffer
	w := gzip.NewWriter(&out)
	if _, err := w.Write(raw); err != nil {
		return raw // a buffer always takes it
	}
	if err := w.Close(); err != nil {
		return raw
	}
	return out.Bytes()
}

// page sends the one page that all screens are made of: the page looks at its
// own address.
func (s *Server) page(w http.ResponseWriter, r *http.Request) {
	f, err := s.pages.get("index.html")
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
	f, err := s.pages.get(name)
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

// sendPage sends a file of the front end, packed where the client can take it.
func (s *Server) sendPage(w http.ResponseWriter, r *http.Request, f *file) {
	h := w.Header()
	h.Set("Vary", "Accept-Encoding")
	h.Set("Content-Type", f.mediaType)
	body, tag := f.plain, f.tag
	if f.packed != nil && takesGzip(r) {
		body, tag = f.packed, strings.TrimSuffix(f.tag, `"`)+`-gzip"`
		h.Set("Content-Encoding", "gzip")
	}
	h.Set("ETag", tag)
	for known := range strings.SplitSeq(r.Header.Get("If-None-Match"), ",") {
		if strings.TrimPrefix(strings.TrimSpace(known), "W/") == tag {
			h.Del("Content-Type")
			h.Del("Content-Encoding")
			w.WriteHeader(http.StatusNotModified)
			return
		}
	}
	h.Set("Content-Length", strconv.Itoa(len(body)))
	w.WriteHeader(http.StatusOK)
	if r.Method != http.MethodHead {
		s.write(w, r, body)
	}
}

func takesGzip(r *http.Request) bool {
	for one := range strings.SplitSeq(r.Header.Get("Accept-Encoding"), ",") {
		name, weight, _ := strings.Cut(strings.TrimSpace(one), ";")
		if strings.TrimSpace(name) == "gzip" && strings.ReplaceAll(weight, " ", "") != "q=0" {
			return true
		}
	}
	return false
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
