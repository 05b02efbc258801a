package status_test

import (
	"net/http"
	"net/http/httptest"
	"testing"

	"whistlestop/internal/web/status"
)

func TestTheStatusIsRemembered(t *testing.T) {
	for want, handler := range map[int]http.HandlerFunc{
		http.StatusOK:     func(w http.ResponseWriter, _ *http.Request) { _, _ = w.Write([]byte("yes")) },
		http.StatusTeapot: func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(http.StatusTeapot) },
	} {
		out := httptest.NewRecorder()
		seen := status.Of(out)
		handler(seen, nil)
		if seen.Status != want || out.Code != want {
			t.Errorf("%d is remembered and %d was sent, want %d", seen.Status, out.Code, want)
		}
		if err := http.NewResponseController(seen).Flush(); err != nil || !out.Flushed {
			t.Error("the connection is out of reach:", err)
		}
	}
}
