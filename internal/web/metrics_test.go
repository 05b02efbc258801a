package web_test

import (
	"context"
	"errors"
	"net/http"
	"strings"
	"testing"
)

func TestMetricsNameNobody(t *testing.T) {
	s := newServer(t, built)
	do(s, post(entryURL, entries(note)))
	do(s, fromPhone(get(gamePath), pair(t, s, `{"seat":"book"}`)))
	do(s, fromPhone(get(gamePath+"/ledger.jsonl"), ""))
	answer := do(s, get("/metrics"))
	body := answer.Body.String()
	for _, part := range []string{
		`whistlestop_requests_total{caller="here",route="POST /api/games/{game}/entries",status="2xx"} 1`,
		`{caller="seat",route="GET /api/games/{game}",status="2xx"} 1`,
		`{caller="guest",route="GET /api/games/{game}/ledger.jsonl",status="4xx"} 1`,
		`whistlestop_request_seconds_bucket{route="POST /api/games/{game}/entries",le="0.1"} 1`,
		"whistlestop_streams_here 0", "go_goroutines",
	} {
		if !strings.Contains(body, part) {
			t.Errorf("no %s in %s", part, body)
		}
	}
	for _, secret := range []string{game, "Kelp Bay", "Anna", "192.168"} {
		if strings.Contains(body, secret) {
			t.Errorf("the metrics say %q", secret)
		}
	}
	for who, r := range map[string]*http.Request{
		"a stranger": fromPhone(get("/metrics"), ""), "this machine by its address on the network": with(get("/metrics"), "from", "192.168.7.20:5000"),
	} {
		if answer := do(s, r); answer.Code != http.StatusForbidden || strings.Contains(answer.Body.String(), "go_goroutines") {
			t.Errorf("%s got %d", who, answer.Code)
		}
	}
}

func TestHealthSaysWhetherEntriesCanBeKept(t *testing.T) {
	s := newServer(t, built)
	var fails error
	s.Healthy = func(context.Context) error { return fails }
	run(t, s, []scenario{{name: "healthy", request: get("/api/health"), status: 200, has: []string{`"status":"ok"`}}})
	fails = errors.New("the disk is full at /home/anna")
	if answer := do(s, fromPhone(get("/api/health"), "")); answer.Code != http.StatusServiceUnavailable ||
		!strings.Contains(answer.Body.String(), `"failing"`) || strings.Contains(answer.Body.String(), "anna") {
		t.Errorf("%d %s", answer.Code, answer.Body)
	}
}
