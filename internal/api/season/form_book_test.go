package season_test

import (
	"reflect"
	"slices"
	"strings"
	"testing"

	"whistlestop/season/league"
	"whistlestop/season/suspensions"
)

// setting is a setting of the league file as the form has it.
type setting struct {
	Table, Key, Value string
	At                int
}

// A league's own book begins as any of the ready-made ones: written into the league file
// setting by setting it is that book, rule by rule, and it goes again without a rest.
func TestALeaguesOwnBookBeginsAsAReadyMadeOne(t *testing.T) {
	o := seasoned(t)
	var form struct {
		Parts []string
		Books []struct {
			ID       string
			Settings []setting
		}
	}
	var filled struct{ Settings []setting }
	if no := o.ask("GET", "/api/season/league/form", "", &form); no != "" {
		t.Fatal(no)
	}
	ready := suspensions.Books()
	if len(form.Books) != len(ready) || len(form.Parts) != 7 {
		t.Fatalf("%d books, parts %v", len(form.Books), form.Parts)
	}
	text := o.kept.league
	apply := func(text []byte, edits []league.Edit) ([]byte, league.League) {
		t.Helper()
		out, _, err := league.Apply(text, edits)
		if err != nil {
			t.Fatal(err)
		}
		l, err := league.Read(out, "x.toml")
		if err != nil {
			t.Fatalf("%v\n%s", err, out)
		}
		return out, l
	}
	for _, book := range form.Books {
		edits := []league.Edit{{Table: "suspensions", Key: "book", Remove: true}, {Table: "suspensions.serving", Remove: true}}
		for _, s := range book.Settings {
			edits = append(edits, league.Edit{Table: s.Table, At: s.At, Key: s.Key, Value: s.Value})
		}
		own, l := apply(text, edits)
		if got, want := l.Suspensions.Rules(), ready[book.ID]; l.Suspensions.Own == nil || !reflect.DeepEqual(got, want) {
			t.Errorf("%s: %+v, want %+v", book.ID, got, want)
		}
		// A rule more in the middle of the file's tables, then the ready-made book again.
		rules := len(l.Suspensions.Own.Triggers)
		own, l = apply(own, []league.Edit{
			{Table: "hand_in", Key: "hours", Value: "24"}, {Table: "closed", At: 0, Key: "why", Value: `"x"`},
			{Table: league.OwnBook + ".trigger", At: rules, Key: "why", Value: `"7.1"`}, {Table: league.OwnBook + ".trigger", At: rules, Key: "games", Value: "2"},
		})
		if len(l.Suspensions.Own.Triggers) != rules+1 || l.Suspensions.Own.Triggers[rules].Games != 2 {
			t.Errorf("%s: %+v", book.ID, l.Suspensions.Own.Triggers)
		}
		// The league's list, as the form writes it, with the rule that goes by it.
		own, l = apply(own, []league.Edit{
			{Table: league.OwnBook, Key: "least", Value: `{"boarding":2,"spearing":4}`}, {Table: league.OwnBook + ".trigger", At: rules, Key: "listed", Value: "true"},
		})
		if least := l.Suspensions.Own.Least; len(least) != 2 || least["boarding"] != 2 || least["spearing"] != 4 {
			t.Errorf("%s: the list is %v", book.ID, least)
		}
		o.kept.league = own
		if no := o.ask("GET", "/api/season/league/form", "", &filled); no != "" || !slices.ContainsFunc(filled.Settings, func(s setting) bool {
			return s == setting{league.OwnBook, "least", `{"boarding":2,"spearing":4}`, 0}
		}) {
			t.Errorf("%s: the form has no list: %s", book.ID, no)
		}
		back, l := apply(own, []league.Edit{{Table: league.OwnBook, Remove: true}, {Table: "suspensions", Key: "book", Value: `"` + book.ID + `"`}})
		if strings.Contains(string(back), league.OwnBook) || l.Suspensions.Own != nil || !reflect.DeepEqual(l.Suspensions.Rules(), ready[book.ID]) {
			t.Errorf("%s is not the book again:\n%s", book.ID, back)
		}
	}
}
