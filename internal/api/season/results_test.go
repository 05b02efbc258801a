package season_test

import (
	"encoding/json"
	"testing"
)

// Tables are those of the division and the day that were asked for, and the figures
// those of the team.
func TestResultsAreOfWhatWasAsked(t *testing.T) {
	o := seasoned(t)
	game := o.plan("?team=millrace-u14").Games[0]
	o.played(game.ID, firstID, false)
	var all tables
	if no := o.ask("GET", "/api/season/standings", "", &all); no != "" || len(all.Divisions) != 3 {
		t.Fatalf("%+v, %s", all, no)
	}
	if got := o.points("u14", game.Home); got == 0 {
		t.Error("the winner has no point")
	}
	var then tables
	if no := o.ask("GET", "/api/season/standings?division=u14&at=2026-10-01", "", &then); no != "" || len(then.Divisions) != 1 {
		t.Fatalf("%+v, %s", then, no)
	}
	for _, place := range then.Divisions[0].Places {
		if place.Points+place.Played != 0 {
			t.Errorf("before the season: %+v", place)
		}
	}
	if no := o.ask("GET", "/api/season/standings?at=soon", "", &then); no != "season.refused" {
		t.Errorf("a day that is none: %q", no)
	}
	for query, want := range map[string]int{"": 4, "?team=" + game.Home: 2, "?division=u12": 0, "?division=u14&team=" + game.Visitors: 2} {
		var out struct {
			Skaters []struct{ Team, Name string }
		}
		if no := o.ask("GET", "/api/season/figures"+query, "", &out); no != "" || len(out.Skaters) != want {
			t.Errorf("%s: %d skaters, want %d (%s)", query, len(out.Skaters), want, no)
		}
	}
}

// A decision is kept where it fits the schedule, with a mistake nothing is, and what it
// decides counts.
func TestDecisionsAreCheckedAndCount(t *testing.T) {
	o := seasoned(t)
	game := o.plan("?team=millrace-u14").Games[0]
	put := func(text, saw string) (out leagueFile, no string) {
		raw, err := json.Marshal(map[string]any{"text": text, "saw": saw})
		if err != nil {
			t.Fatal(err)
		}
		no = o.ask("PUT", "/api/season/decisions", string(raw), &out)
		return out, no
	}
	typed := "[[result]]\ngame = \"" + game.ID + "\"\nhome = 2\nvisitors = 1\nhow = \"reg\"\n"
	if out, no := put(typed, ""); no != "" || out.Kept || len(out.Findings) != 1 || out.Findings[0].Line == 0 || o.kept.decisions != nil {
		t.Errorf("without a why: %+v, %s", out, no)
	}
	if _, no := put(typed+"why = \"paper\"\n", "0123"); no != "season.league_changed" {
		t.Errorf("another version: %q", no)
	}
	if out, no := put(typed+"why = \"paper\"\n", ""); no != "" || !out.Kept || out.Mark == "" {
		t.Errorf("%+v, %s", out, no)
	}
	if got := o.points("u14", game.Home); got == 0 {
		t.Error("a typed result gives no point")
	}
}
