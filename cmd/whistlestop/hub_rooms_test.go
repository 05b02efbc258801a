package main

import (
	"bufio"
	"context"
	"encoding/json"
	"net/http"
	"strings"
	"testing"
	"time"
)

// roomStream is what an end of a room hears, beside its beats.
type roomStream struct {
	t     *testing.T
	lines *bufio.Scanner
	end   context.CancelFunc
}

type roomEvent struct {
	Room, Phone string
	Texts       []string
}

func (s roomStream) next(name string) (e roomEvent) {
	s.t.Helper()
	is := ""
	for s.lines.Scan() {
		if event, found := strings.CutPrefix(s.lines.Text(), "event: "); found {
			is = event
		}
		data, found := strings.CutPrefix(s.lines.Text(), "data: ")
		if !found || is == "beat" {
			continue
		}
		if err := json.Unmarshal([]byte(data), &e); err != nil || is != name {
			s.t.Fatalf("%s %s, want %s", is, data, name)
		}
		return e
	}
	s.t.Fatalf("the stream ended before %s: %v", name, s.lines.Err())
	return e
}

// asRoom asks about rooms, as a bench where there is a secret.
func asRoom(ctx context.Context, t *testing.T, method, address, secret, body string) *http.Response {
	t.Helper()
	request, err := http.NewRequestWithContext(ctx, method, address, strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	if secret != "" {
		request.Header.Set("Authorization", "Bearer "+secret)
	}
	answer, err := http.DefaultClient.Do(request)
	if err != nil {
		t.Fatal(err)
	}
	return answer
}

// listens opens a stream of a room. Nodes tell each other of it within a moment: until
// then the hub says that nobody is there.
func listens(t *testing.T, address, secret string) roomStream {
	t.Helper()
	ctx, end := context.WithCancel(t.Context())
	for until := time.Now().Add(time.Minute); ; time.Sleep(20 * time.Millisecond) {
		answer := asRoom(ctx, t, http.MethodGet, address, secret, "")
		if answer.StatusCode == http.StatusOK {
			t.Cleanup(func() { end(); _ = answer.Body.Close() })
			return roomStream{t, bufio.NewScanner(answer.Body), end}
		}
		_ = answer.Body.Close()
		if answer.StatusCode != http.StatusNotFound || time.Now().After(until) {
			t.Fatal(answer.Status)
		}
	}
}

// roomOfTwoHubs: a bench that listens at one hub and a phone at the other speak, whichever
// hub each of them says something to, and the phone is told when the bench is gone.
func roomOfTwoHubs(t *testing.T, here, there *Program, pair string) {
	t.Helper()
	_, secret, _ := strings.Cut(pair, "#")
	bench := listens(t, here.hub.address+"/v1/room?salt=abcdefghijklmnopqrstuvwx", secret)
	room := bench.next("open").Room
	phone := listens(t, there.hub.address+"/v1/rooms/"+room+"/stream", "")
	id := phone.next("open").Phone
	if got := bench.next("here").Phone; got != id {
		t.Fatalf("%s came, and %s is there", id, got)
	}
	said := func(method, address, secret, body string) {
		t.Helper()
		answer := asRoom(t.Context(), t, method, address, secret, body)
		defer func() { _ = answer.Body.Close() }()
		if answer.StatusCode >= 300 {
			t.Fatal(address, answer.Status)
		}
	}
	for _, hub := range []string{there.hub.address, here.hub.address} {
		said(http.MethodPost, hub+"/v1/rooms/"+room+"/phones/"+id, "", `["`+hub+`"]`)
		if got := bench.next("texts"); got.Phone != id || got.Texts[0] != hub {
			t.Errorf("the bench heard %+v", got)
		}
		said(http.MethodPost, hub+"/v1/room", secret, `[{"phone":"`+id+`","texts":["`+hub+`"]}]`)
		if got := phone.next("texts"); got.Texts[0] != hub {
			t.Errorf("the phone heard %+v", got)
		}
	}
	said(http.MethodPut, there.hub.address+"/v1/room/codes/BCDF-GHJK", secret, `{"lasts_ms":60000}`)
	for until := time.Now().Add(time.Minute); ; time.Sleep(7 * time.Second) { // it may be asked ten times a minute
		answer := asRoom(t.Context(), t, http.MethodGet, there.hub.address+"/v1/codes/BCDFGHJK", "", "")
		var found struct{ Room string }
		err := json.NewDecoder(answer.Body).Decode(&found)
		_ = answer.Body.Close()
		if err == nil && found.Room == room {
			break
		}
		if time.Now().After(until) {
			t.Fatal(answer.Status, err)
		}
	}
	bench.end()
	phone.next("over")
}
