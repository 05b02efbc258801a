package pocket_test

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/bench"
	"whistlestop/internal/pocket"
	"whistlestop/internal/store/memory"
)

// from asks for another device, and wants a status.
func from(t *testing.T, b *pocket.Bench, token, method, path, body string, want int) pocket.Answer {
	t.Helper()
	answer := b.AskFrom(pocket.Device{Token: token, From: "a link"}, method, path, []byte(body))
	if answer.Status != want {
		t.Fatalf("%s %s: %d %s, want %d", method, path, answer.Status, answer.Body, want)
	}
	return answer
}

// read reads JSON.
func read[T any](t *testing.T, raw []byte) (value T) {
	t.Helper()
	if err := json.Unmarshal(raw, &value); err != nil {
		t.Fatalf("%s: %v", raw, err)
	}
	return value
}

// invited invites a device to a seat, and returns the invite's secret.
func invited(t *testing.T, b *pocket.Bench, game, seat string) (token string) {
	t.Helper()
	_, token, _ = strings.Cut(read[struct{ Link string }](t, ask(t, b, "POST", "/games/"+game+"/invites", `{"seat":"`+seat+`","side":""}`)).Link, "#")
	return token
}

// seated lets a device be a seat, and returns its token.
func seated(t *testing.T, b *pocket.Bench, game, seat string) (token string) {
	t.Helper()
	wish := read[struct{ Request, Secret, Check string }](t,
		from(t, b, "", "POST", "/join", `{"token":"`+invited(t, b, game, seat)+`","device":"Anna's phone"}`, 202).Body)
	if said := string(ask(t, b, "GET", "/games/"+game+"/seats", "")); !strings.Contains(said, `"check":"`+wish.Check+`"`) || !strings.Contains(said, "a link") {
		t.Errorf("the bench sees %s", said)
	}
	ask(t, b, "POST", "/games/"+game+"/seats/approve", `{"request":"`+wish.Request+`"}`)
	answer := from(t, b, "", "POST", "/join/"+wish.Request, `{"secret":"`+wish.Secret+`"}`, 200)
	if answer.Paired == "" || strings.Contains(string(answer.Body), answer.Paired) {
		t.Fatalf("let in: %+v", answer)
	}
	return answer.Paired
}

// posting is the body of a post of one entry.
func posting(t *testing.T, game string, body entry.Body) string {
	t.Helper()
	raw, err := json.Marshal(entry.Entry{ID: bench.ULIDs().New(1_770_000_002_000), Game: game, Seat: entry.Solo, Body: body})
	if err != nil {
		t.Fatal(err)
	}
	return `{"entries":[` + string(raw) + `]}`
}

// A device of another person is held to its seat, as a phone on a network is: also after
// the bench was killed, and not any more once its seat was taken away.
func TestAnotherDeviceIsASeat(t *testing.T) {
	d := &device{ledgers: memory.New()}
	b := d.open(t)
	game := opened(t, b)
	at := "/games/" + game
	for _, path := range []string{at + "/ledger.jsonl", at + "/report", at + "/seats", "/proposals"} {
		from(t, b, "", "GET", path, "", 403)
		from(t, b, "guessed", "GET", path, "", 403)
	}
	from(t, b, "", "POST", at+"/entries", posting(t, game, entry.Note{Text: "Nobody said this."}), 403)
	from(t, b, "", "POST", "/join", `{"token":"guessed","device":"x"}`, 403)

	token := seated(t, b, game, "shots")
	from(t, b, token, "POST", at+"/entries", posting(t, game, entry.Note{Text: "Its own."}), 200)
	from(t, b, token, "POST", at+"/seal", `{}`, 403)
	from(t, b, token, "GET", at+"/seats", "", 403)
	if state := string(from(t, b, token, "GET", at, "", 200).Body); strings.Contains(state, `"officials"`) && strings.Contains(state, "Its own.") {
		t.Errorf("the Shots seat sees %s", state)
	}

	b.Close()
	b = d.open(t)
	if said := read[struct{ Seat string }](t, from(t, b, token, "GET", "/session", "", 200).Body); said.Seat != "shots" {
		t.Errorf("after a restart the device is %+v", said)
	}
	sessions := read[struct{ Sessions []struct{ ID, From string } }](t, ask(t, b, "GET", at+"/seats", "")).Sessions
	if sessions[0].From != "a link" {
		t.Errorf("the bench is told that it came by %q", sessions[0].From)
	}
	heard := make(chan pocket.Event, 50)
	stop, err := b.ListenFrom(pocket.Device{Token: token}, game, "", func(e pocket.Event) { heard <- e })
	if err != nil {
		t.Fatal(err)
	}
	defer stop()
	if first := next(t, heard); first.Name != "state" {
		t.Fatalf("%+v", first)
	}
	ask(t, b, "POST", at+"/seats/revoke", `{"session":"`+sessions[0].ID+`"}`)
	for event := next(t, heard); event.Name != "revoked"; event = next(t, heard) {
		if event.Name != "change" {
			t.Fatalf("a device whose seat is taken away hears %+v", event)
		}
	}
	from(t, b, token, "POST", at+"/entries", posting(t, game, entry.Note{Text: "Too late."}), 403)
	// What it had kept is handed over, and a person decides.
	from(t, b, token, "POST", at+"/handed", posting(t, game, entry.Note{Text: "Too late."}), 202)
	if said := string(ask(t, b, "GET", at+"/seats", "")); !strings.Contains(said, `"handed":[{`) {
		t.Error(said)
	}
}

// The bench's page hears who asks and who sits, and a device in a seat that counts hears
// when it counts itself.
func TestWhoSitsIsTold(t *testing.T) {
	b := (&device{ledgers: memory.New()}).open(t)
	game := opened(t, b)
	heard := make(chan pocket.Event, 50)
	stop, err := b.Listen(game, "", func(e pocket.Event) { heard <- e })
	if err != nil {
		t.Fatal(err)
	}
	defer stop()
	if one, two := next(t, heard), next(t, heard); one.Name != "state" || two.Name != "seats" {
		t.Fatalf("%+v, %+v", one, two)
	}
	seated(t, b, game, "shots")
	second := seated(t, b, game, "shots")
	for event := next(t, heard); !strings.Contains(event.Data, `"looks_on"`); event = next(t, heard) {
		if event.Name != "seats" {
			t.Fatalf("%+v", event)
		}
	}
	its := make(chan pocket.Event, 50)
	end, err := b.ListenFrom(pocket.Device{Token: second}, game, "", func(e pocket.Event) { its <- e })
	if err != nil {
		t.Fatal(err)
	}
	defer end()
	next(t, its)
	sessions := read[struct{ Sessions []struct{ ID string } }](t, ask(t, b, "GET", "/games/"+game+"/seats", "")).Sessions
	ask(t, b, "POST", "/games/"+game+"/seats/count", `{"session":"`+sessions[1].ID+`"}`)
	if told := next(t, its); told.Name != "session" || strings.Contains(told.Data, "looks_on") {
		t.Errorf("%+v", told)
	}
}

// next is what is heard next.
func next(t *testing.T, heard <-chan pocket.Event) pocket.Event {
	t.Helper()
	select {
	case event := <-heard:
		return event
	case <-time.After(20 * time.Second):
		t.Fatal("nothing is heard")
		return pocket.Event{}
	}
}
