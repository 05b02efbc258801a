package site_test

import (
	"context"
	"encoding/json"
	"net/http"
	"strings"
	"testing"

	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/rooms"
)

const salt = "abcdefghijklmnopqrstuvwx"

// roomSaid is what an end of a room hears.
type roomSaid struct {
	Room, Phone, Why string
	Texts            []string
}

func (s *stream) room(name string) (said roomSaid) {
	s.t.Helper()
	e := s.next()
	if e.name != name {
		s.t.Fatalf("%s %s, want %s", e.name, e.data, name)
	}
	if err := json.Unmarshal([]byte(e.data), &said); err != nil {
		s.t.Fatal(err)
	}
	return said
}

// listen opens a stream; of a bench with its secret.
func (h *hub) listen(path, secret string) *stream {
	h.t.Helper()
	ctx, cancel := context.WithCancel(h.t.Context())
	h.t.Cleanup(cancel)
	request := h.request("GET", path, "").WithContext(ctx)
	if secret != "" {
		request.Header.Set("Authorization", "Bearer "+secret)
	}
	response, err := http.DefaultClient.Do(request)
	if err != nil || response.StatusCode != http.StatusOK {
		h.t.Fatalf("%v %v", response, err)
	}
	return &stream{t: h.t, body: response.Body, close: cancel}
}

func (h *hub) post(path, body string) answer {
	h.t.Helper()
	return h.do(h.request("POST", path, body))
}

func TestAPhoneAndABenchSpeak(t *testing.T) {
	h := newHub(t)
	bench := h.listen("/v1/room?salt="+salt, h.bench)
	room := bench.room("open").Room
	if !strings.HasPrefix(room, association+".") || !strings.HasSuffix(room, salt) {
		t.Fatal(room)
	}
	phone := h.listen("/v1/rooms/"+room+"/stream", "")
	id := phone.room("open").Phone
	if got := bench.room("here").Phone; got != id {
		t.Fatalf("%s and %s", got, id)
	}
	if got := h.post("/v1/rooms/"+room+"/phones/"+id, `["one","two"]`); got.StatusCode != http.StatusNoContent {
		t.Fatal(got.Status)
	}
	if got := bench.room("texts"); got.Phone != id || strings.Join(got.Texts, " ") != "one two" {
		t.Error(got)
	}
	got := h.asBench("POST", "/v1/room", `[{"phone":"`+id+`","texts":["three"]},{"phone":"left","texts":["four"]}]`)
	if got.body != `{"gone":["left"]}` {
		t.Error(got.body)
	}
	if got := phone.room("texts"); strings.Join(got.Texts, " ") != "three" {
		t.Error(got)
	}
	h.asBench("POST", "/v1/room", `[{"phone":"`+id+`"}]`)
	if got := phone.room("over"); got.Why != rooms.Away {
		t.Error(got)
	}
	bench.room("gone")
	// The page is loaded again: the room is the same.
	again := h.listen("/v1/room?salt="+salt, h.bench)
	if got := bench.room("over"); got.Why != rooms.Replaced {
		t.Error(got)
	}
	if got := again.room("open").Room; got != room {
		t.Error(got)
	}
}

func TestRoomsOfOthers(t *testing.T) {
	h := newHub(t)
	_, otherOffice := h.second()
	other, token, err := otherOffice.Issue(t.Context(), office.Bench, "x", office.BenchLasts, office.By{Who: "test"})
	if err != nil {
		t.Fatal(err)
	}
	room := h.listen("/v1/room?salt="+salt, h.bench).room("open").Room
	theirs, err := rooms.Bench{Association: "elsewhere", ID: token.ID}.Room(salt)
	if err != nil {
		t.Fatal(err)
	}
	for _, one := range []string{theirs, "none", room + "x", strings.ToUpper(room)} {
		h.get("/v1/rooms/"+one+"/stream").no(t, http.StatusNotFound, "missing")
		h.post("/v1/rooms/"+one+"/phones/x", `["x"]`).no(t, http.StatusNotFound, "missing")
	}
	h.post("/v1/rooms/"+room+"/phones/x", `["x"]`).no(t, http.StatusNotFound, "missing")
	request := h.request("GET", "/v1/room?salt="+salt, "")
	request.Header.Set("Authorization", "Bearer "+other)
	h.do(request).no(t, http.StatusUnauthorized, "not_here")
	h.asBench("GET", "/v1/room?salt=short", "").no(t, http.StatusBadRequest, "unreadable")
	h.asBench("POST", "/v1/room", "{").no(t, http.StatusBadRequest, "unreadable")
	h.asBench("POST", "/v1/room", strings.Repeat(" ", 2*rooms.TextsMost+1)).no(t, http.StatusRequestEntityTooLarge, "too_large")
	// Another page's script may not say anything here.
	foreign := h.request("POST", "/v1/rooms/"+room+"/phones/x", `["x"]`)
	foreign.Header.Set("Sec-Fetch-Site", "cross-site")
	if got := h.do(foreign); got.StatusCode != http.StatusForbidden {
		t.Error(got.Status)
	}
}

func TestACodeLeadsToTheRoom(t *testing.T) {
	h := newHub(t)
	room := h.listen("/v1/room?salt="+salt, h.bench).room("open").Room
	if got := h.asBench("PUT", "/v1/room/codes/BCDF-GHJK", `{"lasts_ms":60000}`); got.StatusCode != http.StatusNoContent {
		t.Fatal(got.Status, got.body)
	}
	if got := h.get("/v1/codes/bcdfghjk"); got.body != `{"room":"`+room+`"}` {
		t.Error(got.body)
	}
	h.later(60_000)
	h.get("/v1/codes/BCDFGHJK").no(t, http.StatusNotFound, "missing")
	for range 30 {
		h.get("/v1/codes/BCDFGHJL")
	}
	h.get("/v1/codes/BCDFGHJL").no(t, http.StatusTooManyRequests, "too_many")
	for path, to := range map[string]string{"/seat": "/practice/#hub", "/seat/bcdf-ghjk": "/practice/#hub/BCDFGHJK", "/seat/%22%3E": "/practice/#hub"} {
		if got := h.get(path); got.Header.Get("Location") != to {
			t.Errorf("%s leads to %s", path, got.Header.Get("Location"))
		}
	}
}

// A bench that somebody took off hears nothing more, and its phones do not either.
func TestABenchThatIsTakenOffLosesItsRoom(t *testing.T) {
	h := newHub(t)
	bench := h.listen("/v1/room?salt="+salt, h.bench)
	room := bench.room("open").Room
	phone := h.listen("/v1/rooms/"+room+"/stream", "")
	phone.room("open")
	all, err := h.office.List(t.Context(), office.Bench)
	if err != nil || len(all) != 1 {
		t.Fatal(all, err)
	}
	if err := h.office.Revoke(t.Context(), all[0].ID, office.By{Who: "test"}); err != nil {
		t.Fatal(err)
	}
	h.asBench("POST", "/v1/room", `[]`).no(t, http.StatusUnauthorized, "not_here")
	h.later(20_000)
	if got := phone.room("over"); got.Why != rooms.Away {
		t.Error(got)
	}
	h.get("/v1/rooms/"+room+"/stream").no(t, http.StatusNotFound, "missing")
}
