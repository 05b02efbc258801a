package web_test

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"whistlestop/internal/web"
)

// listen starts the server on a free port, with its real limits.
func listen(t testing.TB, s *web.Server) string {
	server := httptest.NewUnstartedServer(s)
	web.Limits(server.Config)
	server.Config.RegisterOnShutdown(s.Close)
	server.Start()
	t.Cleanup(func() { s.Close(); server.Close() })
	return server.URL
}

// event is one server-sent event.
type event struct {
	name, id string
	data     string
}

// listenTo reads events into a channel until the stream ends.
func listenTo(t testing.TB, url string, headers ...string) <-chan event {
	ctx, cancel := context.WithCancel(context.Background())
	t.Cleanup(cancel)
	r, err := http.NewRequestWithContext(ctx, "GET", url, nil)
	if err != nil {
		t.Fatal(err)
	}
	with(r, headers...)
	client := &http.Client{Transport: &http.Transport{}}
	t.Cleanup(client.CloseIdleConnections)
	answer, err := client.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	if answer.StatusCode != http.StatusOK || answer.Header.Get("Content-Type") != "text/event-stream" {
		t.Fatalf("%d, %v", answer.StatusCode, answer.Header)
	}
	events := make(chan event, 100)
	go func() {
		defer close(events)
		defer func() { _ = answer.Body.Close() }() // nothing more is read from it
		lines := bufio.NewScanner(answer.Body)
		lines.Buffer(nil, 4<<20)
		var e event
		for lines.Scan() {
			name, value, _ := strings.Cut(lines.Text(), ": ")
			switch name {
			case "event":
				e.name = value
			case "id":
				e.id = value
			case "data":
				e.data = value
			case "":
				events <- e
				e = event{}
			}
		}
	}()
	return events
}

// patience is how long a test waits for what must come, on a machine with much else to do.
const patience = time.Minute

func next(t testing.TB, events <-chan event, name string) event {
	t.Helper()
	for {
		select {
		case e, more := <-events:
			if !more {
				t.Fatal("the stream ended")
			}
			if e.name == name {
				return e
			}
		case <-time.After(patience):
			t.Fatalf("no %s within %v", name, patience)
		}
	}
}

func TestStream(t *testing.T) {
	s := newServer(t, built)
	address := listen(t, s)
	stream := address + "/api/games/" + game + "/stream"
	events := listenTo(t, stream)
	first := next(t, events, "state")
	if first.id != "1" {
		t.Errorf("the first event has the id %q", first.id)
	}
	var data struct {
		State struct{ Seq int }
		Now   int64 `json:"now_ms"`
	}
	if err := json.Unmarshal([]byte(first.data), &data); err != nil || data.State.Seq != 1 || data.Now == 0 {
		t.Errorf("%s: %v", first.data, err)
	}
	do(s, post(entryURL, entries(note)))
	if e := next(t, events, "state"); e.id != "2" {
		t.Errorf("after a post: %q", e.id)
	}
	// Whoever comes back says what it saw last; it gets the newest all the same.
	for _, last := range []string{"1", "999", "x"} {
		if e := next(t, listenTo(t, stream, "Last-Event-ID", last), "state"); e.id != "2" {
			t.Errorf("back after %s: %q", last, e.id)
		}
	}
	if e := next(t, events, "beat"); !strings.HasPrefix(e.data, `{"now_ms":`) {
		t.Errorf("the beat says %q", e.data)
	}
	s.Close()
	select {
	case e, more := <-events:
		if more {
			t.Errorf("after closing: %+v", e)
		}
	case <-time.After(patience):
		t.Error("the stream goes on")
	}
}

// The limits for requests that end must not cut a stream off.
func TestStreamOutlivesTheLimits(t *testing.T) {
	if testing.Short() {
		t.Skip("waits for the limits to pass")
	}
	s := newServer(t, built)
	server := httptest.NewUnstartedServer(s)
	web.Limits(server.Config)
	server.Config.ReadTimeout, server.Config.WriteTimeout = 100*time.Millisecond, 100*time.Millisecond
	server.Start()
	t.Cleanup(func() { s.Close(); server.Close() })
	events := listenTo(t, server.URL+"/api/games/"+game+"/stream")
	next(t, events, "beat")
	do(s, post(entryURL, entries(note)))
	if e := next(t, events, "state"); e.id == "" {
		t.Error("no state")
	}
}

func TestStreamsAreBounded(t *testing.T) {
	s := newServer(t, built)
	address := listen(t, s) + "/api/games/" + game + "/stream"
	for range 320 {
		listenTo(t, address)
	}
	answer := do(s, get("/api/games/"+game+"/stream"))
	if answer.Code != http.StatusServiceUnavailable || !strings.Contains(answer.Body.String(), "Close some") {
		t.Errorf("%d %s", answer.Code, answer.Body)
	}
	// And the bench is no slower for it.
	if answer := do(s, post(entryURL, entries(note))); answer.Code != http.StatusOK {
		t.Error(answer.Body)
	}
}

// A screen that does not read costs nobody else anything.
func TestScreenThatDoesNotRead(t *testing.T) {
	s := newServer(t, built)
	address := listen(t, s) + "/api/games/" + game + "/stream"
	r, err := http.NewRequest("GET", address, nil)
	if err != nil {
		t.Fatal(err)
	}
	client := &http.Client{Transport: &http.Transport{}}
	deaf, err := client.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = deaf.Body.Close() }() // never read on purpose
	listening := listenTo(t, address)
	next(t, listening, "state")
	var all time.Duration
	for i := range 200 {
		text := fmt.Sprintf(`{"text":"%d %s"}`, i, strings.Repeat("x", 400))
		started := time.Now()
		answer := do(s, post(entryURL, entries(entryJSON(fmt.Sprintf("01JD%022d", 1000+i), "note", text))))
		if answer.Code != http.StatusOK {
			t.Fatal(answer.Body)
		}
		// A write to it may take five seconds. On a busy machine every post is slow, so the
		// others say what one takes.
		took := time.Since(started)
		if all += took; took > 4*time.Second+20*all/time.Duration(i+1) {
			t.Fatalf("post %d took %v", i, took)
		}
	}
	for next(t, listening, "state").id != "201" {
	}
}
