package practice

import (
	"encoding/json"
	"strings"
	"testing"

	"whistlestop/game/card"
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
