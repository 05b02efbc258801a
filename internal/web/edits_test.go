package web_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"log/slog"
	"net/http"
	"strings"
	"sync"
	"testing"
)

// about makes an edit of the entry with the id.
func about(of, kind, body string) string {
	return strings.Replace(entryJSON(nextID(), kind, body), `"seat"`, `"of":"`+of+`","seat"`, 1)
}

// saw is a post of entries that were made from the state with the number.
func saw(seq int, list ...string) string {
	return fmt.Sprintf(`{"entries":[%s],"saw":%d}`, strings.Join(list, ","), seq)
}

type staleAnswer struct {
	Type  string
	Stale struct {
		Of            string
		Yours, Theirs struct {
			ID, Seat, By string
		}
	}
}

// N4: two people change the same entry; the second is refused with both
// versions, and nothing of its post counts.
func TestN4_AStaleEditIsRefusedWithBothVersions(t *testing.T) {
	s := newServer(t, built)
	noteTo := func(text string) string { return `{"kind":"note","body":{"text":"` + text + `"}}` }
	must := func(r *http.Request) {
		t.Helper()
		if answer := do(s, r); answer.Code != http.StatusOK {
			t.Fatal(answer.Body)
		}
	}
	must(post(entryURL, entries(note)))                                                  // seq 2
	must(post(entryURL, entries(entryJSON(otherID, "note", `{"text":"another note"}`)))) // seq 3
	book := pair(t, s, `{"seat":"book"}`)
	must(fromPhone(post(entryURL, saw(3, about(noteID, "amended", noteTo("by the book")))), book)) // seq 4

	before := do(s, get(gamePath+"/ledger.jsonl")).Body.String()
	mine := about(noteID, "amended", noteTo("by the bench"))
	answer := do(s, post(entryURL, saw(3, entryJSON(nextID(), "note", `{"text":"along with it"}`), mine)))
	stale := answerOf[staleAnswer](t, answer, http.StatusConflict)
	if stale.Type != "urn:whistlestop:problem:stale" || stale.Stale.Of != noteID ||
		stale.Stale.Theirs.By != "Anna's phone" || stale.Stale.Theirs.Seat != "book" || stale.Stale.Yours.Seat != "solo" ||
		!strings.Contains(answer.Body.String(), "by the book") || !strings.Contains(answer.Body.String(), "by the bench") {
		t.Errorf("%s", answer.Body)
	}
	if after := do(s, get(gamePath+"/ledger.jsonl")).Body.String(); after != before {
		t.Error("a part of it was posted")
	}
	run(t, s, []scenario{
		{name: "a strike of it", request: post(entryURL, saw(3, about(noteID, "struck", `{}`))), status: 409, has: []string{`"stale":{`}},
		{name: "a strike of their edit", request: post(entryURL, saw(3, about(stale.Stale.Theirs.ID, "struck", `{}`))), status: 409},
		{name: "an edit of something else", request: post(entryURL, saw(3, about(otherID, "amended", noteTo("fine")))), status: 200, keeps: true}, // seq 5
		{name: "what they edited themselves", status: 200, keeps: true, // seq 6: a phone that was alone sends two edits
			request: fromPhone(post(entryURL, saw(3, about(noteID, "amended", noteTo("by the book again")))), book)},
		{name: "after looking again", request: post(entryURL, saw(6, mine)), status: 200, keeps: true},
		{name: "the same post again", request: post(entryURL, saw(3, mine)), status: 200},
		{name: "without saying what was seen", request: post(entryURL, entries(about(noteID, "struck", `{}`))), status: 200, keeps: true},
	})
}

// N4: of two clocks stopped at once one order comes out, for everybody.
func TestN4_WhatHappensAtOnceHasOneOrder(t *testing.T) {
	s := newServer(t, built)
	const posts = 40
	var all sync.WaitGroup
	for i := range posts {
		draft := entries(entryJSON(nextID(), "note", fmt.Sprintf(`{"text":"%d"}`, i)))
		all.Go(func() {
			if answer := do(s, post(entryURL, draft)); answer.Code != http.StatusOK {
				t.Error(answer.Body)
			}
		})
	}
	all.Wait()
	ledger := do(s, get(gamePath+"/ledger.jsonl")).Body.String()
	for i := range posts + 1 {
		if strings.Count(ledger, fmt.Sprintf(`"seq":%d,`, i+1)) != 1 {
			t.Errorf("number %d is not there once", i+1)
		}
	}
	if again := do(s, get(gamePath+"/ledger.jsonl")).Body.String(); again != ledger {
		t.Error("two readers see two orders")
	}
}

// N2: a post whose answer got lost fifty times counts once, and is answered the
// same, from a seat as from the bench.
func TestN2_FiftyResubmitsAreOneEntry(t *testing.T) {
	s := newServer(t, built)
	token := pair(t, s, `{"seat":"book"}`)
	for who, ask := range map[string]func(string) *http.Request{
		"the bench": func(body string) *http.Request { return post(entryURL, body) },
		"a seat":    func(body string) *http.Request { return fromPhone(post(entryURL, body), token) },
	} {
		id := nextID()
		body := saw(1, entryJSON(id, "note", `{"text":"once"}`))
		for i := range 50 {
			posted := answerOf[struct{ Posted []string }](t, do(s, ask(body)), http.StatusOK)
			if len(posted.Posted) != 1 || posted.Posted[0] != id {
				t.Fatalf("%s, answer %d: %v", who, i, posted)
			}
			if i == 20 { // and other things happen meanwhile
				do(s, post(entryURL, entries(entryJSON(nextID(), "note", `{"text":"between"}`))))
			}
		}
		if count := strings.Count(do(s, get(gamePath+"/ledger.jsonl")).Body.String(), id); count != 1 {
			t.Errorf("%s: %d entries", who, count)
		}
	}
}

// N5: an entry that somebody captured changes nothing when it is played back
// later, by another device, or at another game; and the attempts are logged.
func TestN5_ACapturedEntryHasNoEffect(t *testing.T) {
	s := newServer(t, built)
	var log bytes.Buffer
	s.Logger = slog.New(slog.NewTextHandler(&log, nil))
	if answer := do(s, post("/api/games", `{"id":"`+otherID+`","division":"harbour-u14","home":{"name":"Millrace"},"visitors":{"name":"Northmole"}}`)); answer.Code != http.StatusCreated {
		t.Fatal(answer.Body)
	}
	first, second := pair(t, s, `{"seat":"book"}`), pair(t, s, `{"seat":"clock"}`)
	captured := entries(entryJSON(nextID(), "note", `{"text":"captured"}`))
	if answer := do(s, fromPhone(post(entryURL, captured), first)); answer.Code != http.StatusOK {
		t.Fatal(answer.Body)
	}
	otherGame := "/api/games/" + otherID + "/entries"
	run(t, s, []scenario{
		{name: "later, by the same seat", request: fromPhone(post(entryURL, captured), first), status: 200},
		{name: "by another seat", request: fromPhone(post(entryURL, captured), second), status: 409},
		{name: "by the bench", request: post(entryURL, captured), status: 409},
		{name: "by a stranger", request: fromPhone(post(entryURL, captured), ""), status: 403},
		{name: "at another game, by the bench", request: post(otherGame, captured), status: 422, has: []string{"another game"}},
		{name: "at another game, by the seat", request: fromPhone(post(otherGame, captured), first), status: 403},
		{name: "made out for another game", request: post(otherGame, strings.ReplaceAll(captured, game, otherID)), status: 409},
	})
	if ledger := do(s, get("/api/games/"+otherID+"/ledger.jsonl")).Body.String(); strings.Contains(ledger, "captured") {
		t.Error("it counts at another game")
	}
	for _, part := range []string{"level=WARN", "status=409", "status=403"} {
		if !strings.Contains(log.String(), part) {
			t.Errorf("no %s in the log: %s", part, &log)
		}
	}
	var last map[string]any
	if err := json.Unmarshal(do(s, get(gamePath)).Body.Bytes(), &last); err != nil {
		t.Fatal(err)
	}
}
