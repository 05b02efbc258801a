package league_test

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"whistlestop/season/league"
)

func edited(t *testing.T, text string, edits ...league.Edit) (string, []string) {
	t.Helper()
	out, lost, err := league.Apply([]byte(text), edits)
	if err != nil {
		t.Fatal(err)
	}
	return string(out), lost
}

// An edit changes its lines and no others: every comment of the rest is still there.
func TestAnEditKeepsTheRestOfTheFile(t *testing.T) {
	l, text := harbour(t)
	for _, c := range []struct {
		edit      league.Edit
		was, is   string
		more      int // lines
		forgotten string
	}{
		{league.Edit{Key: "name", Value: `"Harbour \"A\" League"`}, `name = "Harbour League"`, `name = "Harbour \"A\" League"`, 0, ""},
		{league.Edit{Key: "to", Value: `"2027-04-04"`}, `to = 2027-03-28`, `to = 2027-04-04`, 0, ""},
		{league.Edit{Table: "standings", Key: "procedure", Value: `"iihf"`}, `procedure = "usah-nationals"`, `procedure = "iihf"`, 0, ""},
		{league.Edit{Table: "standings", Key: "counts", Value: `"ended"`}, `counts = "sealed"            # a game`, `counts = "ended" # a game`, 0, ""},
		{league.Edit{Table: "standings", Key: "no_draws", Value: `true`}, `last = "lots"                # for teams that are equal after every step`, `last = "lots"                # for teams that are equal after every step` + "\n" + `no_draws = true`, 1, ""},
		{league.Edit{Table: "suspensions.serving", Key: "kinds", Value: `["league"]`}, `kinds = ["league", "tournament", "playoff"]`, `kinds = ["league"]`, 0, ""},
		{league.Edit{Table: "ice", At: 1, Key: "start", Value: `["09:00"]`}, `start = ["09:00", "10:30", "12:00"]`, `start = ["09:00"]`, 0, ""},
		{league.Edit{Table: "hand_in", Key: "hours", Remove: true}, "hours = 48                   # from the final horn to the package being with the league\n", ``, -1, "# from the final horn to the package being with the league"},
		{league.Edit{Table: "division.standings", At: 2, Key: "forfeit_goals", Value: `3`}, "forfeit_goals = 1", "forfeit_goals = 3", 0, ""},
	} {
		got, lost := edited(t, text, c.edit)
		if want := strings.Replace(text, c.was, c.is, 1); got != want || !strings.Contains(text, c.was) {
			t.Errorf("%+v:\n%s", c.edit, got)
		}
		if _, err := league.Read([]byte(got), "x.toml"); err != nil {
			t.Errorf("%+v: %v", c.edit, err)
		}
		if strings.Join(lost, "") != c.forgotten {
			t.Errorf("%+v: lost %q", c.edit, lost)
		}
	}
	teams := `[{"name":"Kelp Bay","id":"kelp-bay","home":"saltworks","away":[{"from":"2026-11-07","why":"Tournament"}]},{"id":"moorings","name":"Moorings"}]`
	got, _ := edited(t, text, league.Edit{Table: "division", At: 2, Key: "team", Value: teams},
		league.Edit{Table: "rink", At: 2, Key: "id", Value: `"north"`}, league.Edit{Table: "rink", At: 2, Key: "name", Value: `"North Rink"`},
		league.Edit{Table: "division.standings", At: 0, Key: "procedure", Value: `"iihf"`}, league.Edit{Table: "division.standings", At: 0, Key: "counts", Value: `"ended"`},
		league.Edit{Table: "division.standings", At: 0, Key: "last", Value: `"lots"`}, league.Edit{Table: "closed", At: 0, Remove: true})
	now, err := league.Read([]byte(got), "x.toml")
	if err != nil {
		t.Fatalf("%v\n%s", err, got)
	}
	if len(now.Divisions[2].Teams) != 2 || now.Divisions[2].Teams[0].Away[0].Why != "Tournament" || len(now.Rinks) != 3 || now.Rinks[2].Name != "North Rink" ||
		now.Divisions[0].Standings == nil || now.Divisions[1].Standings != nil || len(now.Closed) != len(l.Closed)-1 || now.Divisions[2].Standings.Own == nil {
		t.Errorf("%s", got)
	}
	if !strings.Contains(got, "# How teams are ranked.") || !strings.Contains(got, "# A division may rank in a way of its own.") {
		t.Errorf("a comment is gone:\n%s", got)
	}
}

// A file can be made of nothing but edits.
func TestALeagueIsMadeOfEdits(t *testing.T) {
	set := func(table string, at int, key, value string) league.Edit {
		return league.Edit{Table: table, At: at, Key: key, Value: value}
	}
	got, _ := edited(t, "", set("", 0, "name", `"A"`), set("", 0, "season", `"2026"`), set("", 0, "from", `"2026-10-03"`), set("", 0, "to", `"2027-03-28"`), set("", 0, "zone", `"Europe/Oslo"`),
		set("rink", 0, "id", `"r"`), set("rink", 0, "name", `"R"`), set("ice", 0, "rink", `"r"`), set("ice", 0, "every", `"saturday"`), set("ice", 0, "start", `["10:00"]`), set("ice", 0, "minutes", `75`),
		set("division", 0, "id", `"d"`), set("division", 0, "name", `"D"`), set("division", 0, "plays", `"usah-youth"`), set("division", 0, "meetings", `2`), set("division", 0, "minutes", `75`),
		set("division", 0, "team", `[{"id":"a","name":"A"},{"id":"b","name":"B"}]`),
		set("standings", 0, "procedure", `"iihf"`), set("standings", 0, "counts", `"sealed"`), set("standings", 0, "last", `"lots"`))
	if l, err := league.Read([]byte(got), "x.toml"); err != nil || len(l.Divisions[0].Teams) != 2 || l.Standings == nil {
		t.Errorf("%v\n%s", err, got)
	}
}

// A row is taken out with the tables within it and nothing else, and what stands on each
// line is known.
func TestARowIsTakenOut(t *testing.T) {
	_, text := harbour(t)
	got, _ := edited(t, text, league.Edit{Table: "division", At: 2, Remove: true}, league.Edit{Table: "closed", At: 0, Remove: true},
		league.Edit{Table: "ice", At: 2, Key: "for", Value: `["u14"]`})
	now, err := league.Read([]byte(got), "x.toml")
	if err != nil || len(now.Divisions) != 2 || now.Divisions[1].Standings != nil || strings.Contains(got, "h2h.gd") || len(now.Closed) != 0 || !strings.Contains(got, "# How teams are ranked.") || strings.Contains(got, "\n\n\n") {
		t.Errorf("%v\n%s", err, got)
	}
	got, _ = edited(t, text, league.Edit{Table: "division.standings", At: 2, Remove: true}, league.Edit{Table: "division.standings", At: 0, Remove: true})
	if now, err = league.Read([]byte(got), "x.toml"); err != nil || now.Divisions[2].Standings != nil || len(now.Divisions) != 3 {
		t.Errorf("%v\n%s", err, got)
	}
	for stands, want := range map[string]league.Setting{
		`name = "Harbour League"`: {Key: "name"}, `name = "Ropewalk Rink"`: {Table: "rink", At: 1, Key: "name"}, `last = "game"`: {Table: "division.standings", At: 2, Key: "last"},
		`  { id = "millrace-u14"`: {Table: "division", At: 1, Key: "team"}, `[suspensions.serving]`: {Table: "suspensions.serving"}, `way = "two_left"`: {Table: "division.standings.own", At: 2, Key: "way"},
	} {
		before, _, found := strings.Cut(text, stands)
		if at := league.SettingAt([]byte(text), strings.Count(before, "\n")+1); !found || at != want {
			t.Errorf("%s: %+v, want %+v", stands, at, want)
		}
	}
	l, _ := harbour(t)
	if by := l.NamingRink("ropewalk"); by.Ice != 1 || len(by.Teams) != 2 || len(by.Drives) != 1 || l.NamingRink("elsewhere").Ice != 0 || l.NamingDivision("open").Ice != 1 {
		t.Errorf("%+v", by)
	}
}

func TestWhatIsNoEdit(t *testing.T) {
	_, text := harbour(t)
	for _, e := range []league.Edit{
		{Key: "name", Value: "no JSON"}, {Key: "na me", Value: `1`}, {Table: "elsewhere", Key: "a", Value: `1`}, {Table: "standings", Remove: true},
		{Table: "rink", At: 9, Key: "id", Value: `"x"`}, {Table: "division.standings", At: 9, Key: "last", Value: `"lots"`},
	} {
		if out, _, err := league.Apply([]byte(text), []league.Edit{e}); err == nil {
			t.Errorf("%+v:\n%s", e, out)
		}
	}
}

// Whatever text a person types into a field, the file has it, and nothing else of it changes.
func TestAnyTextIsKeptAsItIs(t *testing.T) {
	before, text := harbour(t)
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.StringMatching(`[ -~æøå#"\\\[\]]{1,40}`).Draw(t, "name")
		raw, err := json.Marshal(name)
		if err != nil {
			t.Fatal(err)
		}
		out, _, err := league.Apply([]byte(text), []league.Edit{{Table: "rink", At: 1, Key: "name", Value: string(raw)}, {Table: "division", At: 1, Key: "meetings", Value: "3"}})
		if err != nil {
			t.Fatal(err)
		}
		l, err := league.Read(out, "x.toml")
		if err != nil || l.Rinks[1].Name != name || l.Divisions[1].Meetings != 3 || len(l.Ice) != len(before.Ice) || len(l.Divisions) != len(before.Divisions) {
			t.Fatalf("%q: %v", name, err)
		}
	})
}

func FuzzApply(f *testing.F) {
	_, text := harbour(f)
	f.Add([]byte(text), "standings", 0, "procedure", `"iihf"`)
	f.Add([]byte("team = [\n"), "division", 1, "team", `[{"id":"a"}]`)
	f.Fuzz(func(t *testing.T, text []byte, table string, at int, key, value string) {
		for _, remove := range []bool{false, true} {
			out, lost, err := league.Apply(text, []league.Edit{{Table: table, At: at, Key: key, Value: value, Remove: remove}})
			if err == nil && slices.ContainsFunc(lost, func(one string) bool { return !strings.Contains(string(text), one) }) {
				t.Fatalf("%q lost what was not there: %q", out, lost)
			}
		}
	})
}
