package practice

import (
	"encoding/json"
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
	list, err := room.all()
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

func detailOf(t *testing.T, problem []byte) string {
	t.Helper()
	var p api.Problem
	if err := json.Unmarshal(problem, &p); err != nil {
		t.Fatal(err)
	}
	return p.Title + " " + p.Detail
}
