package practice

import (
	"bytes"
	"encoding/base64"
	"encoding/json"
	"image"
	"image/jpeg"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"whistlestop/game/card"
	"whistlestop/game/entry"
	"whistlestop/internal/api"
	"whistlestop/internal/demo"
	"whistlestop/practice/console"
)

func ask[T any](t *testing.T, room *Room, method, path string, body any) (answer T) {
	t.Helper()
	sent, err := json.Marshal(body)
	if err != nil {
		t.Fatal(err)
	}
	status, text := room.Call(method, path, sent, earliest)
	if status != 200 {
		t.Fatalf("%s: %d %s", path, status, text)
	}
	if err := json.Unmarshal(text, &answer); err != nil {
		t.Fatal(err)
	}
	return answer
}

// TestACardFromNothing fills a card in as the form does, and practises at it.
func TestACardFromNothing(t *testing.T) {
	room := NewRoom()
	form := ask[card.Form](t, room, "POST", "/practice/cards/read", CardText{})
	form.Card.Rink = "North Rink"
	form.Card.Steps = []card.Template{{When: card.Goal, Do: []string{"Ring for {side}."}, Press: []string{"{side} bell"}}}
	form.Contacts = []card.Contact{{Who: "Ice master", Call: "12"}}
	bad := ask[CardChecked](t, room, "POST", "/practice/cards/check", form)
	if bad.Text != "" || len(bad.Faults) != 1 || bad.Faults[0].Field != "goal.0.press" || !strings.Contains(bad.Faults[0].Why, "no keys") && !strings.Contains(bad.Faults[0].Why, "rows of keys") {
		t.Fatalf("%+v", bad)
	}
	form.Card.Console = &card.Console{Rows: []string{"home bell, visitors bell"}}
	good := ask[CardChecked](t, room, "POST", "/practice/cards/check", form)
	if good.ID != "north-rink" || !strings.Contains(good.Text, "Ice master") || len(good.Seen) != 1 || good.Seen[0].Steps[0].Keys[0].Key != "home bell" {
		t.Fatalf("%+v", good)
	}
	again := ask[card.Form](t, room, "POST", "/practice/cards/read", CardText{Name: "north", Text: good.Text})
	if len(again.Contacts) != 1 || again.Card.Rink != "North Rink" {
		t.Errorf("%+v", again)
	}
	drills := ask[ConsoleDrills](t, room, "POST", "/practice/console/drills", CardText{Text: good.Text})
	if len(drills.Drills) == 0 || drills.Drills[0].ID != console.PowerPlay {
		t.Fatalf("%+v", drills)
	}
	play := ConsolePlay{Text: good.Text, Drill: console.PowerPlay, Seed: 1}
	for range 20 {
		seen := ask[ConsoleSeen](t, room, "POST", "/practice/console/play", play)
		if seen.Seen.Over {
			if seen.Seen.Grade.Score != 100 {
				t.Errorf("%+v", seen.Seen.Grade)
			}
			return
		}
		act := console.Act{Key: seen.Seen.Next}
		if seen.Seen.Next == "" {
			act.Do = console.Done
		}
		play.Acts = append(play.Acts, act)
	}
	t.Error("it does not end")
}

// TestAnAssociationsOwn: cards, divisions and scripts of the site are there with nothing to
// choose, and what cannot be used is said and breaks nothing.
func TestAnAssociationsOwn(t *testing.T) {
	room := NewRoom()
	file := demo.Card()
	text := strings.Replace(string(file.Text), `rink = "Saltworks Arena"`, `rink = "Northmole Ice House"`, 1)
	sent := Own{Cards: []CardText{{Name: "north.toml", Text: text}}, Divisions: []CardText{{Name: "u9.toml", Text: under9(t)}}}
	taken := ask[OwnTaken](t, room, "POST", "/practice/own", sent)
	if !slices.Equal(taken.Rinks, []string{"Northmole Ice House"}) || !slices.Equal(taken.Divisions, []string{"northmole-u9"}) {
		t.Fatalf("%+v", taken)
	}
	cards := ask[CardTexts](t, room, "GET", "/practice/cards", nil)
	if len(cards.Cards) != 2 || !cards.Cards[0].Own || cards.Cards[0].Text != text || cards.Cards[1].Own {
		t.Errorf("%d cards", len(cards.Cards))
	}
	if own := ask[api.Divisions](t, room, "GET", "/divisions", nil).Own; !slices.Equal(own, []string{"northmole-u9"}) {
		t.Errorf("%v", own)
	}
	if made := ask[ScriptTitle](t, room, "POST", "/practice/scripts/made", ScriptOrder{Seed: 3, Level: 2, Division: "northmole-u9"}); made.Division != "Under 9" {
		t.Errorf("%+v", made)
	}
	for name, bad := range map[string]Own{
		"a card":     {Cards: []CardText{{Name: "bad.toml", Text: "id ="}}},
		"a division": {Divisions: []CardText{{Name: "bad.toml", Text: "id ="}}},
		"a script":   {Scripts: []CardText{{Name: "bad.toml", Text: "nothing"}}},
	} {
		raw, err := json.Marshal(bad)
		if err != nil {
			t.Fatal(err)
		}
		status, why := room.Call("POST", "/practice/own", raw, earliest)
		if status != 422 || !strings.Contains(string(why), "bad.toml") {
			t.Errorf("%s: %d %s", name, status, why)
		}
	}
	if again := ask[CardTexts](t, room, "GET", "/practice/cards", nil); len(again.Cards) != 2 {
		t.Errorf("%d cards", len(again.Cards))
	}
}

// under9 is a division of an association's own as its file.
func under9(t *testing.T) string {
	t.Helper()
	text, err := os.ReadFile("../../game/rulebook/divisions/harbour-u10.toml")
	if err != nil {
		t.Fatal(err)
	}
	return strings.NewReplacer("harbour-u10", "northmole-u9", "Under 10", "Under 9").Replace(string(text))
}

// TestTheBenchBesideTheConsole: where something is entered there is the bench's own game, as
// its screens ask for it; what is posted on it goes with the drill, also into another room.
func TestTheBenchBesideTheConsole(t *testing.T) {
	room := NewRoom()
	file := demo.Card()
	play := ConsolePlay{Text: string(file.Text), Drill: console.WholeGame, Seed: 3}
	if opened := ask[ConsoleTable](t, room, "POST", "/practice/console/bench", play); opened.Game != "" {
		t.Fatalf("before anything is to be entered: %+v", opened)
	}
	seen := ask[ConsoleSeen](t, room, "POST", "/practice/console/play", play).Seen
	for seen.Bench == nil {
		act := console.Act{Key: seen.Next}
		if seen.Next == "" {
			act.Do = console.Done
		}
		play.Acts = append(play.Acts, act)
		seen = ask[ConsoleSeen](t, room, "POST", "/practice/console/play", play).Seen
	}
	opened := ask[ConsoleTable](t, room, "POST", "/practice/console/bench", play)
	if opened.Given != opened.Seq || opened.Game == "" {
		t.Fatalf("%+v", opened)
	}
	_, text := room.Call("GET", "/games/"+opened.Game+"/ledger.jsonl?after="+strconv.Itoa(opened.Given-1), nil, opened.Now)
	var last entry.Entry
	if err := last.UnmarshalJSON(bytes.TrimSpace(text)); err != nil {
		t.Fatalf("%v: %s", err, text)
	}
	raw, err := json.Marshal(entry.Entry{
		ID: "01C0NS1000000000000000000A", Game: opened.Game, At: last.At, Wall: opened.Now, Seat: entry.BookSeat, Body: entry.Goal{Side: entry.Home, Scorer: "5"},
	})
	if err != nil {
		t.Fatal(err)
	}
	sent := []byte(`{"entries":[` + string(raw) + `]}`)
	if status, text := room.Call("POST", "/games/"+opened.Game+"/entries", sent, opened.Now); status != 200 {
		t.Fatalf("%d %s", status, text)
	}
	status, text := room.Call("GET", "/games/"+opened.Game+"/ledger.jsonl?after="+strconv.Itoa(opened.Given), nil, opened.Now)
	if status != 200 || bytes.Count(text, []byte("\n")) != 1 {
		t.Fatalf("%d %s", status, text)
	}
	play.Acts = append(play.Acts, console.Act{Do: console.Enter, Posted: []json.RawMessage{bytes.TrimSpace(text)}})
	again := NewRoom()
	if seen := ask[ConsoleSeen](t, again, "POST", "/practice/console/play", play).Seen; seen.Bench == nil || seen.Bench.Entered != 1 {
		t.Errorf("%+v, told %+v", seen.Bench, seen.Told)
	}
	if opened := ask[ConsoleTable](t, again, "POST", "/practice/console/bench", play); opened.Seq != opened.Given+1 {
		t.Errorf("%+v", opened)
	}
	// It is no practice: what only a practice is asked says that none was begun.
	if status, _ := again.Call("POST", "/practice/look", []byte("{}"), opened.Now); status != 404 {
		t.Errorf("a look at a practice that is not there: %d", status)
	}
}

// TestACardThatIsTooLongForItsPage is told of while it is typed, and can be used all the same.
func TestACardThatIsTooLongForItsPage(t *testing.T) {
	room := NewRoom()
	form := ask[card.Form](t, room, "POST", "/practice/cards/read", CardText{Text: string(demo.Card().Text)})
	if checked := ask[CardChecked](t, room, "POST", "/practice/cards/check", form); len(checked.Paper) > 0 || checked.Text == "" {
		t.Fatalf("the demo's card: %q", checked.Paper)
	}
	for i := range form.Card.Steps {
		for len(form.Card.Steps[i].Do) < 4 {
			form.Card.Steps[i].Do = append(form.Card.Steps[i].Do, strings.Repeat("wide and wider ", 8)[:119])
		}
	}
	var photo bytes.Buffer
	if err := jpeg.Encode(&photo, image.NewGray(image.Rect(0, 0, 1600, 900)), nil); err != nil {
		t.Fatal(err)
	}
	form.Picture = base64.StdEncoding.EncodeToString(photo.Bytes())
	for i := range form.Card.Steps {
		for n := range form.Card.Steps[i].Do {
			form.Card.Steps[i].Do[n] = (form.Card.Steps[i].Do[n] + " " + strings.Repeat("wide and wider ", 8))[:119]
		}
	}
	checked := ask[CardChecked](t, room, "POST", "/practice/cards/check", form)
	if len(checked.Paper) != 1 || !strings.Contains(checked.Paper[0], "page of its own") || checked.Text == "" || strings.Contains(checked.Text, "#picture") {
		t.Errorf("%q, faults %+v", checked.Paper, checked.Faults)
	}
}
