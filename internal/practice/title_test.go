package practice

import (
	"encoding/json"
	"flag"
	"os"
	"reflect"
	"slices"
	"testing"

	"whistlestop/internal/api"
	"whistlestop/internal/locale/pseudo"
	"whistlestop/practice/maker"
)

// TestOurOwnScriptsHaveTitlesInEveryLanguage: their English titles, which stand in
// the scripts, are those of the catalogue, or they would stay English.
func TestOurOwnScriptsHaveTitlesInEveryLanguage(t *testing.T) {
	room := NewRoom()
	if err := room.Speak(pseudo.Tag, pseudo.JSON()); err != nil {
		t.Fatal(err)
	}
	list, err := maker.All(rinkCard())
	if err != nil {
		t.Fatal(err)
	}
	made, err := maker.Order{Seed: 7, Level: 2, Division: list[0].Division}.Script()
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range append(list, made) {
		if got, want := room.title(s).Title, pseudo.Text(s.Title); got != want {
			t.Errorf("%s: %q, want %q", s.ID, got, want)
		}
	}
	if made.Title = "Ours"; room.title(made).Title != "Ours" {
		t.Error("a title that somebody wrote is another one")
	}
	if _, text := room.Call("GET", "/games/x", nil, earliest); len(pseudo.Left(detailOf(t, text))) > 0 {
		t.Errorf("English is left in %s", text)
	}
}

var update = flag.Bool("update", false, "write the list of titles again")

// TestTitlesAreThoseOfTheScripts: what the list says of each script of the program is
// what the script has, and each can be found by its id.
func TestTitlesAreThoseOfTheScripts(t *testing.T) {
	room := NewRoom()
	list, err := maker.All(rinkCard())
	if err != nil {
		t.Fatal(err)
	}
	want := make([]ScriptTitle, len(list))
	for i, s := range list {
		want[i] = room.title(s)
		if found, err := room.find(s.ID); err != nil || found.Text() != s.Text() || !slices.Equal(found.Skills, s.Skills) || found.Length != s.Length {
			t.Errorf("%s is found as %s: %v", s.ID, found.ID, err)
		}
	}
	if *update {
		raw, err := json.MarshalIndent(want, "", " ")
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile("titles.json", append(raw, '\n'), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if got := titles(); !reflect.DeepEqual(got, want) {
		t.Errorf("the list says\n%+v\nwant\n%+v\ngo test ./internal/practice -run Titles -update writes it", got, want)
	}
}

func detailOf(t *testing.T, problem []byte) string {
	t.Helper()
	var p api.Problem
	if err := json.Unmarshal(problem, &p); err != nil {
		t.Fatal(err)
	}
	return p.Title + " " + p.Detail
}
