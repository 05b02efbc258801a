package overhttp

import (
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"testing"

	"whistlestop/internal/outbox"
)

// TestAsk: the secret goes to the hub and nowhere else, and what a hub says arrives.
func TestAsk(t *testing.T) {
	other := httptest.NewServer(http.HandlerFunc(func(http.ResponseWriter, *http.Request) { t.Error("another server was asked") }))
	defer other.Close()
	hub := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path == "/elsewhere" {
			http.Redirect(w, r, other.URL, http.StatusFound)
			return
		}
		body, err := io.ReadAll(r.Body)
		if err != nil {
			t.Error(err)
		}
		w.Header().Set("Retry-After", "7")
		w.WriteHeader(http.StatusTooManyRequests)
		_, _ = fmt.Fprint(w, r.Method, " ", r.Header.Get("Authorization"), " ", r.Header.Get("Content-Type"), " ", string(body))
	}))
	client := New()
	got, err := client.Ask(t.Context(), outbox.Question{Method: "POST", Address: hub.URL, Secret: "word", Body: []byte("lines")})
	if err != nil || got.Status != 429 || got.RetryAfter != "7" || string(got.Body) != "POST Bearer word application/jsonl lines" {
		t.Errorf("%+v %s, %v", got, got.Body, err)
	}
	if got, err := client.Ask(t.Context(), outbox.Question{Method: "GET", Address: hub.URL + "/elsewhere", Secret: "word"}); err != nil || got.Status != 302 {
		t.Errorf("%+v, %v", got, err)
	}
	hub.Close()
	if _, err := client.Ask(t.Context(), outbox.Question{Method: "GET", Address: hub.URL, Secret: "word"}); err == nil {
		t.Error("a hub that is gone answered")
	}
}
