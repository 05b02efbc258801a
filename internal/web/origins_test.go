package web_test

import (
	"bufio"
	"context"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"whistlestop/internal/web"
)

// What docs/stream.md promises to pages of other origins, and nothing else, can be
// read by them: every operation is asked as a page elsewhere would ask.
func TestOtherOriginsReadThePublicOperations(t *testing.T) {
	open := map[string]bool{
		"GET /api/games/{game}": true, "GET /api/games/{game}/stream": true, "GET /api/time": true, "GET /api/openapi.json": true,
	}
	s := newServer(t, built)
	seen := 0
	for _, op := range web.Operations() {
		name := op.Method + " " + op.Path
		for _, origin := range []string{"https://club.example", "null"} {
			for _, from := range []string{"127.0.0.1:50000", "192.168.7.99:50000"} {
				path := strings.NewReplacer("{game}", game, "{request}", "x", "{invite}", "x", "{file}", "x", "{team}", "x", "{proposal}", "x").Replace(op.Path)
				host := "127.0.0.1:8480"
				if !strings.HasPrefix(from, "127.") {
					host = "192.168.7.20:8480"
				}
				ask := func(method string) *httptest.ResponseRecorder {
					r := httptest.NewRequest(method, path, nil)
					r.RemoteAddr, r.Host = from, host
					r.Header.Set("Origin", origin)
					r.Header.Set("Sec-Fetch-Site", "cross-site")
					r.Header.Set("Access-Control-Request-Private-Network", "true")
					ctx, stop := context.WithTimeout(t.Context(), 300*time.Millisecond)
					defer stop()
					w := httptest.NewRecorder()
					s.ServeHTTP(w, r.WithContext(ctx))
					return w
				}
				w := ask(op.Method)
				allowed := w.Header().Get("Access-Control-Allow-Origin")
				switch {
				case open[name]:
					seen++
					// A recorder carries no stream: TestPageElsewhereFollows does.
					streams := strings.HasSuffix(path, "/stream")
					if w.Code != http.StatusOK && !streams || allowed != "*" || w.Header().Get("Access-Control-Allow-Credentials") != "" {
						t.Errorf("%s from %s: %d, %q", name, origin, w.Code, allowed)
					}
					for _, inside := range []string{`"players":[{`, `"reasons":[{`} {
						if strings.Contains(w.Body.String(), inside) && !strings.HasSuffix(path, "openapi.json") {
							t.Errorf("%s tells a page elsewhere %s", name, inside)
						}
					}
					if w := ask(http.MethodOptions); w.Code != http.StatusNoContent || w.Header().Get("Access-Control-Allow-Private-Network") != "true" {
						t.Errorf("OPTIONS %s: %d", path, w.Code)
					}
				case allowed != "" || w.Code < 400:
					t.Errorf("%s from %s is answered %d and open to %q", name, origin, w.Code, allowed)
				}
			}
		}
	}
	if seen != 4*len(open) {
		t.Errorf("%d answers of %d open operations", seen, len(open))
	}
}

// A page elsewhere gets what a guest gets, also on the bench's own computer.
func TestOtherOriginsAreGuests(t *testing.T) {
	s := newServer(t, built)
	ask := func(from, host, origin string) string {
		r := httptest.NewRequest(http.MethodGet, "/api/games/"+game, nil)
		r.RemoteAddr, r.Host = from, host
		if origin != "" {
			r.Header.Set("Origin", origin)
		}
		w := httptest.NewRecorder()
		s.ServeHTTP(w, r)
		body, _, _ := strings.Cut(w.Body.String(), `"now_ms"`)
		return body
	}
	here := ask("127.0.0.1:50000", "127.0.0.1:8480", "")
	page := ask("127.0.0.1:50000", "127.0.0.1:8480", "https://club.example")
	guest := ask("192.168.7.99:50000", "192.168.7.20:8480", "")
	if page != guest || page == here || page == "" {
		t.Error("a page elsewhere does not get the view of a guest")
	}
}

func TestPageElsewhereFollows(t *testing.T) {
	s := newServer(t, built)
	server := httptest.NewServer(s)
	t.Cleanup(func() { s.Close(); server.Close() })
	ctx, stop := context.WithTimeout(t.Context(), time.Minute)
	defer stop()
	r, err := http.NewRequestWithContext(ctx, http.MethodGet, server.URL+"/api/games/"+game+"/stream?view=public", nil)
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Origin", "https://club.example")
	answer, err := server.Client().Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = answer.Body.Close() }()
	first, err := bufio.NewReader(answer.Body).ReadString('\n')
	if err != nil || answer.StatusCode != http.StatusOK || answer.Header.Get("Access-Control-Allow-Origin") != "*" || first == "" {
		t.Errorf("%d, %q, first line %q, %v", answer.StatusCode, answer.Header.Get("Access-Control-Allow-Origin"), first, err)
	}
}
