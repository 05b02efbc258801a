package season_test

import (
	"encoding/json"
	"strings"
	"testing"
)

type keptForm struct {
	Text, Mark           string
	Kept                 bool
	Findings             findings
	Lines, Lost, Changes []string
}

type edit struct {
	Table  string `json:"table"`
	At     int    `json:"at"`
	Key    string `json:"key,omitempty"`
	Value  string `json:"value,omitempty"`
	Remove bool   `json:"remove,omitempty"`
}

// The form has what the file says, changes only what was changed, and says before what
// that does to the tables.
func TestTheLeagueFileAsAForm(t *testing.T) {
	o := seasoned(t)
	game := o.plan("?team=millrace-u14").Games[0]
	o.played(game.ID, firstID, false)
	var form struct {
		Mark     string
		Settings []struct {
			Table, Key, Value string
			At                int
		}
		Procedures []struct {
			ID, Source string
			Points     map[string]int
			Two        []string
		}
		Books     []struct{ ID, Source string }
		Steps     []string
		Questions []struct {
			Setting string
			Answers []string
		}
	}
	if no := o.ask("GET", "/api/season/league/form", "", &form); no != "" {
		t.Fatal(no)
	}
	has := map[string]string{}
	for _, s := range form.Settings {
		has[s.Table+"/"+string(rune('0'+s.At))+"/"+s.Key] = s.Value
	}
	for key, want := range map[string]string{
		"/0/name": `"Harbour League"`, "/0/from": `"2026-10-03"`, "rink/0/drive": `{"ropewalk":25}`, "ice/1/start": `["09:00","10:30","12:00"]`,
		"standings/0/procedure": `"usah-nationals"`, "suspensions.serving/0/several": `"one_after_the_other"`, "division/2/name": `"Open"`,
		"division.standings/2/last": `"game"`, "division.standings.own/2/way": `"two_left"`, "hand_in/0/hours": `48`,
	} {
		if has[key] != want {
			t.Errorf("%s is %s, want %s", key, has[key], want)
		}
	}
	if !strings.Contains(has["division/1/team"], `"from":"2026-11-07"`) || len(form.Procedures) < 10 || len(form.Books) < 3 || len(form.Questions) < 10 || len(form.Steps) < 15 || form.Procedures[0].Source == "" || form.Procedures[0].Points["regulation_win"] < 2 || len(form.Procedures[0].Two) == 0 {
		t.Errorf("%+v", form)
	}
	before := string(o.kept.league)
	put := func(keep bool, edits ...edit) (out keptForm, no string) {
		raw, err := json.Marshal(map[string]any{"saw": form.Mark, "keep": keep, "edits": edits})
		if err != nil {
			t.Fatal(err)
		}
		no = o.ask("PUT", "/api/season/league/form", string(raw), &out)
		return out, no
	}
	if out, no := put(true, edit{Table: "standings", Key: "last", Value: `"dice"`}); no != "" || out.Kept || len(out.Findings) != 1 || out.Findings[0].Line == 0 || string(o.kept.league) != before {
		t.Errorf("a mistake: %+v, %s", out, no)
	}
	if out, no := put(true, edit{Table: "standings", Key: "last", Value: `"dice"`}); no != "" || out.Findings[0].Table != "standings" || out.Findings[0].Key != "last" {
		t.Errorf("where a mistake is: %+v, %s", out.Findings, no)
	}
	if out, no := put(true, edit{Table: "rink", At: 1, Remove: true}); no != "" || out.Kept || len(out.Findings) != 1 || out.Findings[0].At != 1 ||
		out.Findings[0].Text != "season.still_named" || string(o.kept.league) != before {
		t.Errorf("a rink that is needed: %+v, %s", out, no)
	}
	if out, no := put(true, edit{Table: "division", At: 2, Remove: true}); no != "" || out.Kept || len(out.Findings) != 1 || out.Findings[0].Table != "division" || out.Findings[0].At != 2 {
		t.Errorf("a division with games: %+v, %s", out, no)
	}
	winner := edit{Table: "standings", Key: "points", Value: `{"regulation_win":0,"regulation_loss":2}`}
	out, no := put(false, winner)
	orders := 0
	for _, text := range out.Changes {
		if strings.HasPrefix(text, "season.order_") {
			orders++
		}
	}
	if no != "" || out.Kept || string(o.kept.league) != before || orders != 3 || len(out.Changes) == orders || len(out.Lines) != 1 || len(out.Lost) != 0 {
		t.Errorf("%+v, %s", out, no)
	}
	if out, no = put(false, edit{Table: "hand_in", Key: "hours", Remove: true}); no != "" || len(out.Lost) != 1 {
		t.Errorf("a comment that goes: %+v, %s", out, no)
	}
	o.kept.full = true
	if _, no = put(true, winner); no != "season.not_kept" {
		t.Errorf("a full disk: %q", no)
	}
	o.kept.full = false
	if out, no = put(true, winner); no != "" || !out.Kept || string(o.kept.league) != out.Text || strings.Count(out.Text, "#") != strings.Count(before, "#") {
		t.Errorf("%+v, %s", out, no)
	}
	if _, no = put(true, winner); no != "season.league_changed" {
		t.Errorf("an older version: %q", no)
	}
	o.kept.league = []byte("name = [")
	var bad struct{ Findings findings }
	if no := o.ask("GET", "/api/season/league/form", "", &bad); no != "" || len(bad.Findings) != 1 || bad.Findings[0].Line != 1 {
		t.Errorf("a file that is none: %+v, %s", bad, no)
	}
	o.guest = true
	if no := o.ask("GET", "/api/season/league/form", "", &bad); no != "web.bench_only" {
		t.Error(no)
	}
}
