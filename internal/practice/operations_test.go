package practice

import (
	"context"
	"reflect"
	"strings"
	"testing"

	"whistlestop/internal/api"
)

// TestEveryRowGivesItsType: what is answered is of the type that the row says, and
// what needs a practice under way says so before one was begun.
func TestEveryRowGivesItsType(t *testing.T) {
	bodies := map[string]string{
		"/api/practice/scripts":      `{"name":"a.practice","text":""}`,
		"/api/practice/scripts/made": `{"seed":7,"level":2,"skills":[],"division":"harbour-u14"}`,
		"/api/practice/begin":        `{"script":"standard","seat":"solo","pace":"fast"}`,
		"/api/practice/codes":        `{"text":""}`, "/api/practice/pace": `{"pace":"real"}`, "/api/practice/act": `{"do":"horn"}`,
		"/api/practice/today":       `{"results":[],"name":"Wren","seat":"book","day":1}`,
		"/api/practice/everybody":   `{"results":[],"day":1,"bar":{}}`,
		"/api/games/{game}/preview": `{"entries":[]}`, "/api/games/{game}/entries": `{"entries":[]}`,
	}
	room := NewRoom()
	seen := map[string]bool{}
	run := func(o api.Operation) (any, error) {
		return o.Do(&api.Call{
			Context: context.Background(), Caller: room.learner(), Common: room.common, Words: room.words, Now: earliest,
			Query: func(string) string { return "" }, Body: func() ([]byte, error) { return []byte(bodies[o.Path]), nil },
			Part: func(name string) string { return map[string]string{"game": room.play.id, "cue": "3"}[name] },
		})
	}
	for _, o := range Operations() {
		name := o.Method + " " + o.Path
		if seen[name] {
			t.Errorf("%s stands twice in the table", name)
		}
		seen[name] = true
		if own := strings.HasPrefix(o.Path, "/api/practice/") || o.Path == "/api/fold"; own != o.Practice {
			t.Errorf("%s is marked as of practice: %v", name, o.Practice)
		}
		if o.Game {
			path := strings.NewReplacer("{game}", "x", "{cue}", "3", "/api/", "/").Replace(o.Path)
			if status, text := room.Call(o.Method, path, []byte(bodies[o.Path]), earliest); status != 404 || !strings.Contains(string(text), "begin") {
				t.Errorf("%s without a practice: %d %s", name, status, text)
			}
		}
	}
	if status, text := room.Call("POST", "/practice/begin", []byte(bodies["/api/practice/begin"]), earliest); status != 200 {
		t.Fatal(string(text))
	}
	answered := 0
	for _, o := range Operations() {
		value, err := run(o)
		if err != nil {
			continue // what each says no to is tried elsewhere
		}
		answered++
		want := reflect.TypeOf(o.Gives)
		if o.GivesMedia != "" {
			want = reflect.TypeFor[api.File]()
		}
		if got := reflect.TypeOf(value); got != want {
			t.Errorf("%s %s gives %v, its row says %v", o.Method, o.Path, got, want)
		}
	}
	if answered < 20 {
		t.Errorf("only %d rows were answered: the test shows little", answered)
	}
}
