package web_test

import (
	"encoding/json"
	"net/http"
	"strings"
	"testing"

	"whistlestop/internal/web"
)

// Whatever is asked about a game that is not there: that is what is said, in words,
// and nothing is made of it.
func TestAGameThatIsNotThere(t *testing.T) {
	const missing = "01JD0000000000000000000009"
	bodies := map[string]string{
		"entries": strings.ReplaceAll(entries(note), game, missing), "preview": strings.ReplaceAll(entries(note), game, missing),
		"invites": `{"seat":"clock"}`, "seal": `{"missing":"nobody signed"}`, "sharing": `{"on":true}`, "crew": `{"seat":"clock","act":"came"}`,
	}
	s := newServer(t, built)
	s.Report, s.Keys, s.Shares = writeOptions, benchKey{}, shares{}
	for _, o := range web.Operations() {
		before, after, of := strings.Cut(o.Path, "{game}")
		if !of || strings.HasPrefix(before, "/api/crew/") { // the desk's games are those of a schedule
			continue
		}
		name := strings.Trim(after, "/")
		if strings.HasPrefix(name, "seats") || strings.HasPrefix(name, "handed") || strings.HasPrefix(name, "invites/") || name == "sharing" && o.Method == http.MethodGet {
			continue // about a device, an invite or a setting, which are asked for by their own ids
		}
		answer := do(s, with(post(before+missing+after, bodies[name]), "method", o.Method))
		if answer.Code != http.StatusNotFound || !strings.Contains(answer.Body.String(), "list of games") {
			t.Errorf("%s %s: %d %s", o.Method, o.Path, answer.Code, answer.Body)
		}
	}
	if list := do(s, get("/api/games")).Body.String(); strings.Contains(list, missing) {
		t.Error("a game came into being:", list)
	}
}

// Whatever takes a body and gets half of one says so, once, and does nothing.
func TestABodyThatCannotBeRead(t *testing.T) {
	s := newServer(t, built)
	s.Report, s.Keys, s.Shares = writeOptions, benchKey{}, shares{}
	before := do(s, get("/api/games/"+game+"/ledger.jsonl")).Body.String()
	asked := 0
	for _, o := range web.Operations() {
		if o.Takes == nil || strings.HasSuffix(o.Path, "/handed") { // which only a device may that had a seat
			continue
		}
		asked++
		path := strings.NewReplacer("{game}", game, "{request}", "01JD0000000000000000000009", "{proposal}", "x", "{id}", "x").Replace(o.Path)
		answer := do(s, with(post(path, `{"`), "method", o.Method))
		if answer.Code != http.StatusBadRequest || !json.Valid(answer.Body.Bytes()) {
			t.Errorf("%s %s: %d %s", o.Method, o.Path, answer.Code, answer.Body)
		}
	}
	if asked < 10 {
		t.Errorf("only %d operations take a body: the test shows little", asked)
	}
	if after := do(s, get("/api/games/"+game+"/ledger.jsonl")).Body.String(); after != before {
		t.Error("something was posted")
	}
}

// A game that was opened says where it is.
func TestAnOpenedGameSaysWhereItIs(t *testing.T) {
	answer := do(newServer(t, built), post("/api/games", `{"id":"`+otherID+`","division":"harbour-u14","home":{"name":"Kelp Bay"},"visitors":{"name":"Millrace"}}`))
	if where := answer.Header().Get("Location"); answer.Code != http.StatusCreated || where != "/api/games/"+otherID {
		t.Errorf("%d at %q", answer.Code, where)
	}
}

// An invite says when no other device gets to the address in it, and when what a
// device sends can be listened to.
func TestAnInviteSaysHowItIsReached(t *testing.T) {
	for _, c := range []struct {
		reach  func() (string, bool)
		link   string
		warned string
	}{
		{nil, "http://127.0.0.1:8480/", "cannot reach this bench"},
		{func() (string, bool) { return "", false }, "http://127.0.0.1:8480/", "cannot reach this bench"},
		{func() (string, bool) { return "http://192.168.7.20:8480", true }, "http://192.168.7.20:8480/", "not encrypted"},
		{func() (string, bool) { return "https://192.168.7.20:8480", true }, "https://192.168.7.20:8480/", ""},
	} {
		s := newServer(t, built)
		s.Reach = c.reach
		answer := do(s, post(gamePath+"/invites", `{"seat":"clock"}`))
		var said struct{ Link, Caution string }
		if err := json.Unmarshal(answer.Body.Bytes(), &said); err != nil {
			t.Fatal(err)
		}
		if !strings.HasPrefix(said.Link, c.link) || (said.Caution == "") != (c.warned == "") || !strings.Contains(said.Caution, c.warned) {
			t.Errorf("%s: %+v", c.link, said)
		}
	}
}
