package web_test

import (
	"net/http"
	"strings"
	"testing"
)

type handedList struct {
	Sessions []struct {
		ID      string
		LooksOn string `json:"looks_on"`
	}
	Handed []struct{ ID, Device, Seat string }
}

func seatsOf(t *testing.T, s http.Handler) handedList {
	t.Helper()
	return answerOf[handedList](t, do(s, get(gamePath+"/seats")), http.StatusOK)
}

// begin begins the first period: nothing is counted before.
func begin(t *testing.T, s http.Handler) {
	t.Helper()
	first := entryJSON(nextID(), "stage_begun", `{"stage":{"kind":"period","number":1},"length_ms":720000}`)
	if answer := do(s, post(gamePath+"/entries", entries(first))); answer.Code != http.StatusOK {
		t.Fatal(answer.Body)
	}
}

// A phone whose seat was taken away hands over what it still had: a person takes
// it in, with the rights of that seat, or leaves it out.
func TestWhatAFormerSeatHandsOver(t *testing.T) {
	s := newServer(t, built)
	begin(t, s)
	token := pair(t, s, `{"seat":"shots"}`)
	body := func(id string, kind, of string) string {
		return `{"entries":[` + entryJSON(id, kind, of) + `]}`
	}
	handed := func(text string) int {
		t.Helper()
		return do(s, fromPhone(post(gamePath+"/handed", text), token)).Code
	}
	shot, second := "01JD00000000000000000000S1", "01JD00000000000000000000S2"
	if got := handed(body(shot, "shots", `{"side":"home","count":1}`)); got != http.StatusForbidden {
		t.Errorf("a seat that still is one handed over: %d", got)
	}
	session := seatsOf(t, s).Sessions[0].ID
	do(s, post(gamePath+"/seats/revoke", `{"session":"`+session+`"}`))
	if got := do(s, fromPhone(post(gamePath+"/entries", body(shot, "shots", `{"side":"home","count":1}`)), token)).Code; got != http.StatusForbidden {
		t.Errorf("a former seat posted: %d", got)
	}
	for name, test := range map[string]struct {
		text   string
		status int
	}{
		"what it had":     {body(shot, "shots", `{"side":"home","count":1}`), http.StatusAccepted},
		"once more":       {body(shot, "shots", `{"side":"home","count":1}`), http.StatusAccepted},
		"nothing":         {`{"entries":[]}`, http.StatusUnprocessableEntity},
		"of another game": {strings.ReplaceAll(body(second, "shots", `{"side":"home","count":1}`), game, "01JD0000000000000000000009"), http.StatusUnprocessableEntity},
	} {
		if got := handed(test.text); got != test.status {
			t.Errorf("%s: %d, want %d", name, got, test.status)
		}
	}
	if got := do(s, fromPhone(post(gamePath+"/handed", body(second, "shots", `{"side":"home","count":1}`)), "a stranger")).Code; got != http.StatusForbidden {
		t.Errorf("a stranger handed over: %d", got)
	}
	// More than its seat might do is no more in this way.
	if got := handed(body(second, "goal", `{"side":"home","scorer":"12"}`)); got != http.StatusAccepted {
		t.Fatal(got)
	}
	list := seatsOf(t, s)
	if len(list.Handed) != 2 || list.Handed[0].Device != "Anna's phone" || list.Handed[0].Seat != "shots" {
		t.Fatalf("handed over: %+v", list.Handed)
	}
	decide := func(id, text string) int {
		t.Helper()
		return do(s, post(gamePath+"/handed/"+id, text)).Code
	}
	if got := do(s, fromPhone(post(gamePath+"/handed/"+shot, `{"take":true}`), token)).Code; got != http.StatusForbidden {
		t.Errorf("the phone decided itself: %d", got)
	}
	if got := decide(second, `{"take":true}`); got != http.StatusUnprocessableEntity {
		t.Errorf("a goal of the Shots seat was taken in: %d", got)
	}
	if got := decide(shot, `{"take":true}`); got != http.StatusOK {
		t.Errorf("taken in: %d", got)
	}
	if got := decide(second, `{"take":false}`); got != http.StatusOK {
		t.Errorf("left out: %d", got)
	}
	if got := decide(second, `{"take":false}`); got != http.StatusNotFound {
		t.Errorf("decided twice: %d", got)
	}
	if left := seatsOf(t, s).Handed; len(left) != 0 {
		t.Errorf("still waits: %+v", left)
	}
	ledger := do(s, get(gamePath+"/ledger.jsonl")).Body.String()
	if !strings.Contains(ledger, shot) || !strings.Contains(ledger, "Anna's phone") || strings.Contains(ledger, second) {
		t.Errorf("the ledger has\n%s", ledger)
	}
}

// A second phone in the Shots seat is told who counts, and counts only when the
// bench says so.
func TestTwoPhonesInOneCountingSeat(t *testing.T) {
	s := newServer(t, built)
	begin(t, s)
	first, second := pair(t, s, `{"seat":"shots"}`), pair(t, s, `{"seat":"shots"}`)
	says := func(token string) string {
		t.Helper()
		return answerOf[struct {
			LooksOn string `json:"looks_on"`
		}](t, do(s, fromPhone(get("/api/session"), token)), http.StatusOK).LooksOn
	}
	if says(first) != "" || says(second) != "Anna's phone" {
		t.Errorf("the first is told %q, the second %q", says(first), says(second))
	}
	count := func(token, id string) int {
		return do(s, fromPhone(post(gamePath+"/entries", `{"entries":[`+entryJSON(id, "shots", `{"side":"home","count":1}`)+`]}`), token)).Code
	}
	if got := count(first, "01JD00000000000000000000C1"); got != http.StatusOK {
		t.Errorf("the first counts: %d", got)
	}
	if got := count(second, "01JD00000000000000000000C2"); got != http.StatusUnprocessableEntity {
		t.Errorf("the second counts as well: %d", got)
	}
	for _, one := range seatsOf(t, s).Sessions {
		if one.LooksOn != "" {
			do(s, post(gamePath+"/seats/count", `{"session":"`+one.ID+`"}`))
		}
	}
	if got := count(second, "01JD00000000000000000000C3"); got != http.StatusOK || says(second) != "" {
		t.Errorf("let by the bench: %d, and told %q", got, says(second))
	}
}
