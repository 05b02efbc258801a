package web_test

import (
	"bytes"
	"net/http"
	"strings"
	"testing"
	"testing/fstest"
)

// engineFile would pack well, and must not be packed again.
var engineFile = append([]byte("\xfd7zXZ\x00"), bytes.Repeat([]byte("engine"), 500)...)

func practiceFiles() fstest.MapFS {
	return fstest.MapFS{
		"index.html":                    {Data: []byte("the bench's page")},
		"practice/index.html":           {Data: []byte("the practice page")},
		"practice/practice.js":          {Data: []byte(strings.Repeat("use(1);\n", 100))},
		"practice/sw.js":                {Data: []byte("keep()")},
		"practice/engine.wasm.xz":       {Data: engineFile},
		"practice/practice.webmanifest": {Data: []byte("{}")},
	}
}

func TestPracticeIsServed(t *testing.T) {
	s := newServer(t, practiceFiles())
	for _, c := range []struct {
		path, mediaType, encoding string
	}{
		{"/practice/", "text/html; charset=utf-8", ""},
		{"/practice/practice.js", "text/javascript; charset=utf-8", "gzip"},
		{"/practice/sw.js", "text/javascript; charset=utf-8", ""},
		{"/practice/engine.wasm.xz", "application/octet-stream", ""},
		{"/practice/practice.webmanifest", "application/manifest+json", ""},
	} {
		for who, r := range map[string]*http.Request{"here": get(c.path), "a guest": with(get(c.path), "from", "192.168.7.31:4000", "Host", "192.168.7.20:8480")} {
			answer := do(s, with(r, "Accept-Encoding", "gzip"))
			h := answer.Header()
			if answer.Code != http.StatusOK || h.Get("Content-Type") != c.mediaType || h.Get("Content-Encoding") != c.encoding {
				t.Errorf("%s to %s: %d %v", c.path, who, answer.Code, h)
			}
			// Looked at again each time, so that the parts of two versions do not meet.
			if h.Get("Cache-Control") != "no-cache" || h.Get("ETag") == "" {
				t.Errorf("%s: %v", c.path, h)
			}
			policy := h.Get("Content-Security-Policy")
			for _, part := range []string{
				"default-src 'none'", "script-src 'self' 'wasm-unsafe-eval';", "worker-src 'self';", "connect-src 'self'", "manifest-src 'self'",
				"frame-ancestors 'none'", "base-uri 'none'",
			} {
				if !strings.Contains(policy, part) {
					t.Errorf("%s: no %q in %q", c.path, part, policy)
				}
			}
		}
	}
	if got := do(s, with(get("/practice/engine.wasm.xz"), "Accept-Encoding", "gzip")).Body.Bytes(); !bytes.Equal(got, engineFile) {
		t.Errorf("the engine came as other %d bytes", len(got))
	}
	if h := do(s, get("/practice")); h.Code != http.StatusMovedPermanently || h.Header().Get("Location") != "/practice/" {
		t.Errorf("without the slash: %d %v", h.Code, h.Header())
	}
	if policy := do(s, get("/bench")).Header().Get("Content-Security-Policy"); strings.Contains(policy, "wasm") {
		t.Errorf("the bench's own pages may more than they need: %s", policy)
	}
	run(t, s, []scenario{
		{name: "no such file", request: get("/practice/none.js"), status: 404, has: []string{"no such page"}},
		{name: "post to it", request: post("/practice/", ""), status: 405},
	})
	run(t, newServer(t, fstest.MapFS{".gitkeep": {}}), []scenario{
		{name: "not built", request: get("/practice/"), status: 503, has: []string{"make build"}},
	})
}
