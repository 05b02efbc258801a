package sse_test

import (
	"bytes"
	"compress/gzip"
	"errors"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"whistlestop/internal/web/sse"
)

const within = 5 * time.Second

// What a client reads is the same whether the stream has a connection of its own or answers
// in its handler, plain or packed, over HTTP/1.1 and HTTP/2; a HEAD has no stream of its own.
func TestAStreamOfItsOwnIsTheSame(t *testing.T) {
	for _, c := range []struct {
		name          string
		second, packs bool
		takes         bool
	}{
		{name: "plain", takes: true},
		{name: "packed", packs: true, takes: true},
		{name: "HTTP/2", second: true},
		{name: "HTTP/2, packed", second: true, packs: true},
	} {
		t.Run(c.name, func(t *testing.T) {
			server := httptest.NewUnstartedServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
				w.Header().Set("X-Robots-Tag", "noindex")
				out, taken := sse.Take(w, r, c.packs, within)
				if taken != (c.takes && r.Method == http.MethodGet) {
					t.Errorf("%s: taken %v", r.Method, taken)
				}
				if !taken {
					out, _ = sse.New(w, c.packs, within)
				}
				send := func() {
					state := []sse.Chunk{sse.Compressed([]byte("event: state\ndata: ")), sse.Stored([]byte("1\n\n"))}
					err := errors.Join(out.Begin(), out.Send(state...), out.End(), out.Close())
					if err != nil && r.Method != http.MethodHead { // which has no body
						t.Error(err)
					}
				}
				if taken {
					go send() // it outlives the request
					return
				}
				send()
			}))
			server.EnableHTTP2 = c.second
			if c.second {
				server.StartTLS()
			} else {
				server.Start()
			}
			defer server.Close()
			request, err := http.NewRequestWithContext(t.Context(), http.MethodGet, server.URL, nil)
			if err != nil {
				t.Fatal(err)
			}
			request.Header.Set("Accept-Encoding", "gzip") // or the client unpacks it by itself
			answer, err := server.Client().Do(request)
			if err != nil {
				t.Fatal(err)
			}
			raw, err := io.ReadAll(answer.Body)
			if err = errors.Join(err, answer.Body.Close()); err != nil {
				t.Fatal(err)
			}
			if c.packs {
				unpacked, err := gzip.NewReader(bytes.NewReader(raw))
				if err != nil {
					t.Fatal(err)
				}
				if raw, err = io.ReadAll(unpacked); err != nil { // the check sum at its end is read as well
					t.Fatal(err)
				}
			}
			if string(raw) != "event: state\ndata: 1\n\n" {
				t.Errorf("%q", raw)
			}
			h := answer.Header
			if h.Get("Content-Type") != "text/event-stream" || h.Get("X-Robots-Tag") != "noindex" || h.Get("Date") == "" || strings.Contains(h.Get("Content-Encoding"), "gzip") != c.packs {
				t.Errorf("%v", h)
			}
			head, err := server.Client().Head(server.URL)
			if err = errors.Join(err, head.Body.Close()); err != nil || head.StatusCode != http.StatusOK {
				t.Error(head, err)
			}
		})
	}
}

// Whoever left is found out by sending.
func TestWhoLeftIsFoundOut(t *testing.T) {
	gone := make(chan error, 1)
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		out, taken := sse.Take(w, r, false, within)
		if !taken {
			t.Error("the connection was not taken")
			return
		}
		go func() {
			for {
				if err := out.Event("beat", []byte("{}")); err != nil {
					gone <- err
					_ = out.Close()
					return
				}
				time.Sleep(time.Millisecond)
			}
		}()
	}))
	defer server.Close()
	answer, err := server.Client().Get(server.URL)
	if err != nil {
		t.Fatal(err)
	}
	if err := answer.Body.Close(); err != nil {
		t.Fatal(err)
	}
	<-gone
}
