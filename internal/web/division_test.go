package web_test

import (
	"encoding/json"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"whistlestop/game/rulebook"
	"whistlestop/internal/api/laptop"
	"whistlestop/internal/folder/divisions"
)

type keptDivision struct {
	From     string            `json:"from"`
	Division rulebook.Division `json:"division"`
	Source   string            `json:"source,omitempty"`
	Replace  bool              `json:"replace,omitempty"`
	Check    bool              `json:"check,omitempty"`
}

// A league sets a division at the bench: checked as its file is, written as its
// file, and a game is opened with it.
func TestALeagueSetsADivision(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "divisions")
	s := newServer(t, built)
	s.Divisions = divisions.New(folder)
	put := func(one keptDivision) *http.Request {
		text, err := json.Marshal(one)
		if err != nil {
			t.Fatal(err)
		}
		return with(post("/api/divisions", string(text)), "method", http.MethodPut)
	}
	base := rulebook.Divisions()[0]
	ours := func(change func(d *rulebook.Division)) keptDivision {
		d := base
		d.Name, d.League = "Under 13", "Harbour League"
		change(&d)
		return keptDivision{From: base.ID, Division: d, Source: "league handbook, page 4"}
	}
	type problem struct {
		Detail  string
		Refused []struct{ Field string }
	}
	for name, test := range map[string]struct {
		one    keptDivision
		status int
		field  string
	}{
		"no name":        {ours(func(d *rulebook.Division) { d.Name = " " }), http.StatusUnprocessableEntity, "name"},
		"no period":      {ours(func(d *rulebook.Division) { d.Periods = nil }), http.StatusUnprocessableEntity, "periods"},
		"no minor":       {ours(func(d *rulebook.Division) { d.Lengths.Minor = 0 }), http.StatusUnprocessableEntity, "lengths"},
		"an odd time":    {ours(func(d *rulebook.Division) { d.Lengths.Minor = 90_001 }), http.StatusUnprocessableEntity, ""},
		"the program's":  {ours(func(d *rulebook.Division) { d.Name = base.Name }), http.StatusConflict, "name"},
		"from nothing":   {keptDivision{From: "nothing", Division: base}, http.StatusUnprocessableEntity, "from"},
		"no such code":   {ours(func(d *rulebook.Division) { d.Code = "none" }), http.StatusUnprocessableEntity, "code"},
		"many skaters":   {ours(func(d *rulebook.Division) { d.Skaters = 7 }), http.StatusUnprocessableEntity, "skaters"},
		"too few breaks": {ours(func(d *rulebook.Division) { d.Intermissions = nil }), http.StatusUnprocessableEntity, "intermissions"},
	} {
		if name == "the program's" {
			test.one.Division.ID, test.one.Division.League, test.one.Division.Name = "", "Harbour", strings.TrimPrefix(base.ID, "harbour-")
		}
		said := answerOf[problem](t, do(s, put(test.one)), test.status)
		if len(said.Refused) != 1 || said.Refused[0].Field != test.field || said.Detail == "" {
			t.Errorf("%s: %+v, want the field %q", name, said, test.field)
		}
	}
	// One that came in a link is looked at before anybody opens its game. It was made from
	// none of those here, so it keeps the sources that it brings.
	linked := ours(func(d *rulebook.Division) {
		d.Sources = map[string]string{"periods": "their handbook", "odd": "nothing"}
	})
	linked.From, linked.Source, linked.Check = "", "", true
	looked := answerOf[rulebook.Division](t, do(s, put(linked)), http.StatusOK)
	if looked.ID != "harbour-league-under-13" || looked.Sources["periods"] != "their handbook" || looked.Sources["odd"] != "" ||
		looked.Sources["lengths"] != "common practice, no source" {
		t.Errorf("a division of a link: %+v", looked)
	}
	if _, err := os.Stat(folder); err == nil {
		t.Error("something was kept")
	}
	if answer := do(s, fromPhone(put(ours(func(*rulebook.Division) {})), "")); answer.Code != http.StatusForbidden {
		t.Errorf("a phone set a division: %d", answer.Code)
	}

	one := ours(func(d *rulebook.Division) { d.Lengths.Minor = 75_000 })
	made := answerOf[rulebook.Division](t, do(s, put(one)), http.StatusOK)
	if made.ID != "harbour-league-under-13" || made.Sources["lengths"] != "league handbook, page 4" || made.Sources["periods"] != base.Sources["periods"] {
		t.Errorf("made %+v", made)
	}
	if answer := do(s, put(one)); answer.Code != http.StatusConflict {
		t.Errorf("the same name once more: %d", answer.Code)
	}
	one.Replace, one.From = true, made.ID
	if answer := do(s, put(one)); answer.Code != http.StatusOK {
		t.Errorf("changed: %d %s", answer.Code, answer.Body)
	}
	if err := os.WriteFile(filepath.Join(folder, "bad.toml"), []byte("id ="), 0o600); err != nil {
		t.Fatal(err)
	}
	list := answerOf[struct {
		Divisions []rulebook.Division
		Damaged   []struct{ File, Why string }
	}](t, do(s, get("/api/divisions")), http.StatusOK)
	if newest := list.Divisions[len(list.Divisions)-1]; newest.Lengths.Minor != 75_000 || len(list.Damaged) != 1 || list.Damaged[0].File != "bad.toml" {
		t.Errorf("listed: %+v %+v", newest, list.Damaged)
	}
	opened := do(s, post("/api/games", `{"id":"`+otherID+`","division":"`+made.ID+`","home":{"name":"Millrace"},"visitors":{"name":"Northmole"}}`))
	if opened.Code != http.StatusCreated {
		t.Errorf("a game of it: %d %s", opened.Code, opened.Body)
	}
}

var _ laptop.Divisions = (*divisions.Folder)(nil)
