package files

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"io/fs"
	"net/http"
	"path"
	"strconv"
	"strings"
	"sync"
)

// Set is a front end: files that never change while the program runs.
type Set struct {
	files fs.FS

	mutex sync.Mutex
	ready map[string]*File // files that were asked for, with their packed form
}

// File is one file as it is sent.
type File struct {
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

// New returns the files of a built front end.
func New(files fs.FS) *Set { return &Set{files: files, ready: map[string]*File{}} }

// Get returns a file. It returns fs.ErrNotExist for what is not there.
func (p *Set) Get(name string) (*File, error) {
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
	f := &File{mediaType: mediaType, tag: `"` + hex.EncodeToString(sum[:12]) + `"`, plain: raw}
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

// Send answers with the file, packed where the client can take it, or says that the
// client has it. An error is that the client is gone.
func (f *File) Send(w http.ResponseWriter, r *http.Request) error {
	h := w.Header()
	h.Set("Vary", "Accept-Encoding")
	h.Set("Content-Type", f.mediaType)
	body, tag := f.plain, f.tag
	if f.packed != nil && TakesGzip(r) {
		body, tag = f.packed, strings.TrimSuffix(f.tag, `"`)+`-gzip"`
		h.Set("Content-Encoding", "gzip")
	}
	h.Set("ETag", tag)
	for known := range strings.SplitSeq(r.Header.Get("If-None-Match"), ",") {
		if strings.TrimPrefix(strings.TrimSpace(known), "W/") == tag {
			h.Del("Content-Type")
			h.Del("Content-Encoding")
			w.WriteHeader(http.StatusNotModified)
			return nil
		}
	}
	h.Set("Content-Length", strconv.Itoa(len(body)))
	w.WriteHeader(http.StatusOK)
	if r.Method == http.MethodHead {
		return nil
	}
	_, err := w.Write(body)
	return err
}

// TakesGzip reports whether a client can unpack gzip.
func TakesGzip(r *http.Request) bool {
	for one := range strings.SplitSeq(r.Header.Get("Accept-Encoding"), ",") {
		name, weight, _ := strings.Cut(strings.TrimSpace(one), ";")
		if strings.TrimSpace(name) == "gzip" && strings.ReplaceAll(weight, " ", "") != "q=0" {
			return true
		}
	}
	return false
}
