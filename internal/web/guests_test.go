package web_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/bench"
	"whistlestop/internal/web"
)

// nextID makes ids for drafts.
var drafted int

func nextID() string {
	drafted++
	return fmt.Sprintf("01JD%022d", 500_000+drafted)
}

// bodies are a draft of each kind that a device could think of posting.
var bodies = func() map[entry.Kind]string {
	raw, err := os.ReadFile("../../game/entry/testdata/bodies.json")
	if err != nil {
		panic(err)
	}
	var samples map[entry.Kind]json.RawMessage
	if err := json.Unmarshal(raw, &samples); err != nil {
		panic(err)
	}
	drafts := map[entry.Kind]string{}
	for kind, body := range samples {
		if !kind.Edits() {
			drafts[kind] = string(body)
		}
	}
	drafts[entry.KindCardSet] = `{"card":null}` // a card that can be used is a long one
	return drafts
}()

// A device posts what its seat may, as its seat, whatever it says that it is.
func TestRightsOfEverySeat(t *testing.T) {
	s := newServer(t, built)
	for _, seat := range []entry.Seat{entry.ClockSeat, entry.BoxSeat, entry.BookSeat, entry.ShotsSeat, entry.VoiceSeat} {
		token := pair(t, s, `{"seat":"`+string(seat)+`"}`)
		for _, kind := range entry.Kinds {
			body, drafted := bodies[kind]
			if !drafted {
				if !kind.Edits() {
					t.Fatalf("the test has no draft of %s", kind)
				}
				continue
			}
			answer := do(s, fromPhone(post(entryURL, entries(entryJSON(nextID(), string(kind), body))), token))
			forbidden := strings.Contains(answer.Body.String(), `"bench.only_`)
			if may := slices.Contains(bench.Seats(kind), seat); forbidden == may || forbidden != (answer.Code == 422 && forbidden) {
				t.Errorf("%s posts %s: may %v, got %d %s", seat, kind, may, answer.Code, answer.Body)
			}
		}
	}
	ledger := do(s, get(gamePath+"/ledger.jsonl?texts=inside")).Body.String()
	for _, part := range []string{`"seat":"clock","by":"Anna's phone"`, `"seat":"voice","by":"Anna's phone"`} {
		if !strings.Contains(ledger, part) {
			t.Errorf("no %s in the ledger", part)
		}
	}
	if strings.Count(ledger, `"seat":"solo"`) > 1 { // the opening
		t.Error("a device posted as the bench")
	}
}

// A seat amends and strikes what it could have posted, of one side if it works
// for one.
func TestRightsToChange(t *testing.T) {
	s := newServer(t, built)
	goal, seated := nextID(), nextID()
	begun := entryJSON(nextID(), "stage_begun", `{"stage":{"kind":"period","number":1},"length_ms":900000}`)
	if answer := do(s, post(entryURL, entries(begun, entryJSON(goal, "goal", bodies["goal"])))); answer.Code != http.StatusOK {
		t.Fatal(answer.Body)
	}
	box, book := pair(t, s, `{"seat":"box","side":"visitors"}`), pair(t, s, `{"seat":"book"}`)
	of := func(draft, of string) string { return strings.Replace(draft, `"seat"`, `"of":"`+of+`","seat"`, 1) }
	strike := func() string { return of(entryJSON(nextID(), "struck", `{}`), goal) }
	amend := of(entryJSON(nextID(), "amended", `{"kind":"goal","body":{"side":"home","scorer":"9"}}`), goal)
	run(t, s, []scenario{
		{name: "the box strikes a goal", request: fromPhone(post(entryURL, entries(strike())), box), status: 422, has: []string{"Book seat"}},
		{name: "the box seats the other side", request: fromPhone(post(entryURL, entries(entryJSON(nextID(), "seated", bodies["seated"]))), box),
			status: 422, has: []string{"the visitors only"}},
		{name: "the box seats its side", request: fromPhone(post(entryURL, entries(entryJSON(seated, "seated", `{"side":"visitors","player":"4","in":true}`))), box),
			status: 200, keeps: true},
		{name: "the box turns a goal into a note", request: fromPhone(post(entryURL, entries(of(entryJSON(nextID(), "amended", `{"kind":"note","body":{"text":"x"}}`), goal))), box),
			status: 422, has: []string{"Book seat"}},
		{name: "the book amends a goal", request: fromPhone(post(entryURL, entries(amend)), book), status: 200, keeps: true},
		{name: "the book strikes a goal", request: fromPhone(post(entryURL, entries(strike())), book), status: 200, keeps: true},
		{name: "the book strikes what is not there", request: fromPhone(post(entryURL, entries(of(entryJSON(nextID(), "struck", `{}`), nextID()))), book), status: 422},
	})
}

// F5: a post that fails while it is checked leaves nothing behind, also when
// only its last entry may not be posted.
func TestF5_APostIsAllOrNothing(t *testing.T) {
	s := newServer(t, built)
	token := pair(t, s, `{"seat":"book"}`)
	run(t, s, []scenario{
		{name: "one of two is not allowed", status: 422, has: []string{"Clock seat"}, request: fromPhone(post(entryURL,
			entries(entryJSON(nextID(), "note", `{"text":"x"}`), entryJSON(nextID(), "clock_started", `{"elapsed_ms":0}`))), token)},
		{name: "one of two is impossible", status: 422, request: fromPhone(post(entryURL,
			entries(entryJSON(nextID(), "note", `{"text":"x"}`), entryJSON(nextID(), "goal", `{"side":"east"}`))), token)},
	})
}

// H2 and P5: what a stranger, a seat of another game, and the bench may ask.
func TestH2_WhoMayAskWhat(t *testing.T) {
	s := newServer(t, built)
	if answer := do(s, post("/api/games", `{"id":"`+otherID+`","division":"harbour-u14","home":{"name":"Millrace"},"visitors":{"name":"Northmole"}}`)); answer.Code != http.StatusCreated {
		t.Fatal(answer.Body)
	}
	token := pair(t, s, `{"seat":"book"}`)
	draft := entries(entryJSON(nextID(), "note", `{"text":"x"}`))
	gone := "/api/games/" + otherID
	for _, c := range []struct {
		method, path, body    string
		stranger, seat, other int // the seat asks about its own game, and about another
	}{
		{"GET", "/api/session", "", 200, 200, 0},
		{"GET", "/api/games", "", 200, 200, 0},
		{"GET", "%s", "", 200, 200, 200},
		{"GET", "%s/ledger.jsonl", "", 403, 200, 403},
		{"GET", "%s/slot", "", 403, 200, 403},
		{"POST", "%s/preview", draft, 403, 200, 403},
		{"POST", "%s/entries", draft, 403, 200, 403},
		{"GET", "%s/seats", "", 403, 403, 403},
		{"POST", "%s/invites", `{"seat":"book","side":""}`, 403, 403, 403},
		{"DELETE", "%s/invites/1", "", 403, 403, 403},
		{"POST", "%s/seats/approve", `{"request":"1"}`, 403, 403, 403},
		{"POST", "%s/seats/refuse", `{"request":"1"}`, 403, 403, 403},
		{"POST", "%s/seats/revoke", `{"session":"1"}`, 403, 403, 403},
		{"POST", "%s/seats/count", `{"session":"1"}`, 403, 403, 403},
		{"POST", "%s/handed", draft, 403, 403, 403},
		{"POST", "%s/handed/1", `{"take":true}`, 403, 403, 403},
		{"POST", "/api/games", `{}`, 403, 403, 0},
		{"PUT", "/api/divisions", `{}`, 403, 403, 0},
		{"POST", "/api/cards", `x`, 403, 403, 0},
	} {
		ask := func(path, token string) int {
			r := fromPhone(post(path, c.body), token)
			r.Method = c.method
			return do(s, r).Code
		}
		mine, theirs := c.path, c.path
		if strings.Contains(c.path, "%s") {
			mine, theirs = fmt.Sprintf(c.path, gamePath), fmt.Sprintf(c.path, gone)
		}
		if got := ask(mine, ""); got != c.stranger {
			t.Errorf("a stranger: %s %s: %d, want %d", c.method, mine, got, c.stranger)
		}
		if got := ask(mine, token); got != c.seat {
			t.Errorf("a seat: %s %s: %d, want %d", c.method, mine, got, c.seat)
		}
		if got := ask(theirs, token); c.other != 0 && got != c.other {
			t.Errorf("a seat of another game: %s %s: %d, want %d", c.method, theirs, got, c.other)
		}
		// Another page cannot use the seat's cookie, nor that of the bench. The state of a
		// game is open to pages of other origins: they read what a stranger reads.
		public := c.method == http.MethodGet && c.path == "%s"
		guest := do(s, fromPhone(get(mine), "")).Body.String()
		for _, headers := range [][]string{{"Origin", "http://rebound.example"}, {"Sec-Fetch-Site", "same-site"}, {"Sec-Fetch-Site", "cross-site"}} {
			for _, r := range []*http.Request{fromPhone(post(mine, c.body), token), post(mine, c.body)} {
				r.Method = c.method
				answer := do(s, with(r, headers...))
				if public && headers[0] == "Origin" {
					if answer.Code != http.StatusOK || withoutNow(answer.Body.String()) != withoutNow(guest) {
						t.Errorf("another page reads more than a stranger: %s", answer.Body)
					}
					continue
				}
				if got := answer.Code; got != http.StatusForbidden {
					t.Errorf("another page, %v: %s %s: %d", headers, c.method, mine, got)
				}
			}
		}
	}
}

// withoutNow takes the instants of an answer out, which go on between two of them.
func withoutNow(answer string) string { return instants.ReplaceAllString(answer, "") }

var instants = regexp.MustCompile(`"now(_ms)?":\d+`)

// H2: to read is never to write.
func TestH2_GetsWriteNothing(t *testing.T) {
	s := newServer(t, built)
	before := do(s, get(gamePath+"/ledger.jsonl")).Body.String()
	for _, path := range []string{
		entryURL, gamePath + "/preview", "/api/games", "/api/join", gamePath + "/invites", gamePath + "/seats/approve",
		gamePath + "/seats/revoke?session=x", gamePath + "/entries?entries=" + "x",
	} {
		for _, method := range []string{"GET", "HEAD"} {
			do(s, with(get(path), "method", method))
		}
	}
	if after := do(s, get(gamePath+"/ledger.jsonl")).Body.String(); after != before {
		t.Error("a GET posted")
	}
	if list := do(s, get(gamePath+"/seats")).Body.String(); list != `{"invites":[],"requests":[],"sessions":[],"handed":[]}` {
		t.Errorf("a GET made %s", list)
	}
}

// Nothing that could name a person leaves the bench for a stranger, in any
// answer: names, notes, signatures are searched for in the bytes themselves.
func TestStrangersReadNumbersOnly(t *testing.T) {
	s := newServer(t, built)
	secrets := []string{"Wren Secretname", "Ada Quill", "Coach Longsecret", "a secret remark", "M1 1L2 2"}
	for _, draft := range []string{
		entryJSON(nextID(), "roster_set", `{"side":"home","team":{"name":"Kelp Bay","players":[{"number":"7","name":"Wren Secretname"}],"staff":[{"role":"coach","name":"Coach Longsecret"}]}}`),
		entryJSON(nextID(), "stage_begun", `{"stage":{"kind":"period","number":1},"length_ms":900000}`),
		entryJSON(nextID(), "goal", `{"side":"home","scorer":"7"}`),
		entryJSON(nextID(), "note", `{"text":"a secret remark"}`),
		entryJSON(nextID(), "crew_set", `{"crew":[{"role":"scorer","name":"Ada Quill"}]}`),
		entryJSON(nextID(), "signed", `{"role":"scorer","name":"Ada Quill","drawing":"M1 1L2 2"}`),
		entryJSON(nextID(), "roster_confirmed", `{"side":"home","by":"Coach Longsecret"}`),
	} {
		if answer := do(s, post(entryURL, entries(draft))); answer.Code != http.StatusOK {
			t.Fatal(answer.Body)
		}
	}
	address := listen(t, s)
	read := func() []string {
		return []string{
			do(s, fromPhone(get(gamePath), "")).Body.String(), do(s, get(gamePath+"?view=public")).Body.String(),
			do(s, fromPhone(get("/api/games"), "")).Body.String(),
			next(t, listenTo(t, address+gamePath+"/stream?view=public"), "state").data,
		}
	}
	for i, body := range read() {
		for _, secret := range secrets {
			if strings.Contains(body, secret) {
				t.Errorf("answer %d says %q", i, secret)
			}
		}
		if !strings.Contains(body, "Kelp Bay") {
			t.Errorf("answer %d says nothing: %s", i, body)
		}
	}
	if whole := do(s, get(gamePath)).Body.String(); !strings.Contains(whole, secrets[0]) || !strings.Contains(whole, secrets[3]) {
		t.Error("the bench itself does not get everything")
	}
	// The coordinator may let names out; nothing else follows them.
	if answer := do(s, post(entryURL, entries(entryJSON(nextID(), "bench_set", `{"clock":"lead","names":true}`)))); answer.Code != http.StatusOK {
		t.Fatal(answer.Body)
	}
	for i, body := range read() {
		for _, secret := range secrets[1:] {
			if strings.Contains(body, secret) {
				t.Errorf("answer %d says %q", i, secret)
			}
		}
		if i != 2 && !strings.Contains(body, secrets[0]) {
			t.Errorf("answer %d lacks the names that may be shown", i)
		}
	}
}

// H4: a script in a name is text in every answer, and no policy lets it run.
func TestH4_AScriptInANameIsText(t *testing.T) {
	s := newServer(t, built)
	const script = `</script><script>alert(1)</script><img src=x onerror=alert(1)>`
	name := strings.ReplaceAll(script, `"`, `\"`)
	for _, draft := range []string{
		entryJSON(nextID(), "roster_set", `{"side":"home","team":{"name":"`+name+`","players":[{"number":"7","name":"`+name+`"}]}}`),
		entryJSON(nextID(), "note", `{"text":"`+name+`"}`),
		entryJSON(nextID(), "bench_set", `{"clock":"lead","names":true}`),
	} {
		if answer := do(s, post(entryURL, entries(draft))); answer.Code != http.StatusOK {
			t.Fatal(answer.Body)
		}
	}
	offer := invite(t, s, `{"seat":"voice"}`)
	do(s, fromPhone(post("/api/join", `{"code":"`+offer.Code+`","device":"`+name+`"}`), ""))
	for _, r := range []*http.Request{
		get(gamePath), get(gamePath + "?view=public"), get("/api/games"), get(gamePath + "/ledger.jsonl"), get(gamePath + "/seats"),
		get("/" + "%3Cscript%3Ealert(1)%3C/script%3E"), with(get("/api/games"), "Host", script),
	} {
		answer := do(s, r)
		h := answer.Header()
		if strings.Contains(answer.Body.String(), "<script") || h.Get("X-Content-Type-Options") != "nosniff" ||
			strings.Contains(h.Get("Content-Security-Policy"), "'unsafe-inline'; script") ||
			!strings.Contains(h.Get("Content-Security-Policy"), "script-src 'self';") {
			t.Errorf("%s: %s", r.URL, answer.Body)
		}
	}
}

// N7 and N6: the sixth stream of a browser says why nothing comes, and the
// others go on.
func TestN7_OneTabTooManySaysWhy(t *testing.T) {
	s := newServer(t, built)
	page := do(s, get("/wall"))
	cookies := page.Result().Cookies()
	if len(cookies) != 1 || !cookies[0].HttpOnly {
		t.Fatalf("the page came with %v", cookies)
	}
	if again := do(s, with(get("/wall"), "Cookie", cookies[0].String())); len(again.Result().Cookies()) != 0 {
		t.Error("a browser is named twice")
	}
	address := listen(t, s) + gamePath + "/stream"
	var tabs []<-chan event
	for range 5 {
		tab := listenTo(t, address, "Cookie", cookies[0].String())
		next(t, tab, "state")
		tabs = append(tabs, tab)
	}
	sixth := listenTo(t, address, "Cookie", cookies[0].String())
	if e := next(t, sixth, "full"); !strings.Contains(e.data, "Close the other tabs") {
		t.Errorf("it says %q", e.data)
	}
	if e, more := <-sixth; more {
		t.Errorf("and then %+v", e)
	}
	next(t, listenTo(t, address), "state") // another browser
	do(s, post(entryURL, entries(note)))
	for _, tab := range tabs {
		if e := next(t, tab, "state"); e.id != "2" {
			t.Errorf("a tab has %q", e.id)
		}
	}
}

// P5: a seat that is taken away hears nothing more within a second.
func TestP5_TakingASeatAwayEndsItsStream(t *testing.T) {
	s, address := strangersHere(t)
	token := pair(t, s, `{"seat":"clock"}`)
	cookie := "whistlestop_seat=" + token
	stream := listenTo(t, address+gamePath+"/stream", "Cookie", cookie)
	if e := next(t, stream, "state"); !strings.Contains(e.data, `"game_opened"`) {
		t.Error("the seat gets the public view only")
	}
	list := answerOf[listed](t, do(s, get(gamePath+"/seats")), http.StatusOK)
	if len(list.Sessions) != 1 || list.Sessions[0].Open != 1 {
		t.Fatalf("the bench sees %+v", list)
	}
	asked := time.Now()
	do(s, get(gamePath+"/seats"))
	asking, started := time.Since(asked), time.Now()
	if answer := do(s, post(gamePath+"/seats/revoke", `{"session":"`+list.Sessions[0].ID+`"}`)); answer.Code != http.StatusOK {
		t.Fatal(answer.Body)
	}
	next(t, stream, "revoked")
	for range stream { // until it ends
	}
	// The plan's second, and what this machine needs for any answer at all just now.
	if took := time.Since(started); took > time.Second+100*asking {
		t.Errorf("the stream ended after %v; a list of seats took %v", took, asking)
	}
	run(t, s, []scenario{
		{name: "posting", request: fromPhone(post(entryURL, entries(entryJSON(nextID(), "clock_started", `{"elapsed_ms":0}`))), token), status: 403},
		{name: "reading", request: fromPhone(get(gamePath+"/ledger.jsonl"), token), status: 403},
		{name: "a token that a guest made up", request: fromPhone(get(gamePath+"/ledger.jsonl"), strings.Repeat("A", 43)), status: 403},
	})
}

// strangersHere returns a server on a free port for which requests over the
// network are not this machine's, while those of the test itself are.
func strangersHere(t testing.TB) (*web.Server, string) {
	s := newServer(t, built)
	server := httptest.NewUnstartedServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		s.ServeHTTP(w, with(r, "from", phone))
	}))
	web.Limits(server.Config)
	server.Start()
	t.Cleanup(func() { s.Close(); server.Close() })
	return s, server.URL
}
