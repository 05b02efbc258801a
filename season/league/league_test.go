package league_test

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"whistlestop/internal/locale"
	"whistlestop/season/league"
)

func harbour(t testing.TB) (league.League, string) {
	t.Helper()
	text, err := os.ReadFile("../../testdata/league/harbour.toml")
	if err != nil {
		t.Fatal(err)
	}
	l, err := league.Read(text, "harbour.toml")
	if err != nil {
		t.Fatal(err)
	}
	return l, string(text)
}

func TestTheIceOfASeason(t *testing.T) {
	l, _ := harbour(t)
	count := map[string]int{}
	for i, slot := range l.Slots() {
		count[l.Rinks[slot.Rink].ID]++
		if slot.Day >= 20809 && slot.Day <= 20822 { // 21 December to 3 January
			t.Errorf("%s: nobody plays then", l.Named(slot))
		}
		if i > 0 && slot.Begin() < l.Slots()[i-1].Begin() {
			t.Errorf("%s is out of order", l.Named(slot))
		}
	}
	// 3 October to 28 March has 26 Saturdays and Sundays and 25 Wednesdays, two of each in the break.
	if count["saltworks"] != 24*4+24*3 || count["ropewalk"] != 23 {
		t.Errorf("%v", count)
	}
}

func TestAWrongFileSaysWhere(t *testing.T) {
	_, text := harbour(t)
	for _, c := range []struct{ replace, by, says string }{
		{`to = 2027-03-28`, `to = 2026-03-28`, "first day before its last"},
		{`from = 2026-10-03`, `from = "3 October"`, "write it as 2026-10-03"},
		{`every = "saturday"`, `every = "caturday"`, "write it as saturday"},
		{`start = ["18:30"]`, `start = ["half past six"]`, "write it as 09:15"},
		{`start = ["08:30", "10:00"`, `start = ["08:30", "09:15"`, "on one sheet at once"},
		{`sheet = 2`, `sheet = 3`, "sheet 3: the rink has 2"},
		{`home = "ropewalk" },`, `home = "elsewhere" },`, `there is no rink "elsewhere"`},
		{`id = "kelp-bay-u14"`, `id = "kelp-bay-u12"`, "an id of its own in the whole league"},
		{`id = "kelp-bay-u14"`, `id = "Kelp Bay"`, "small letters"},
		{`meetings = 1`, `meetings = 11`, "meet 1 to 10 times"},
		{`minutes = 75`, `minutes = 5`, "10 to 600 minutes"},
		{`wishes = ["games_a_week"]`, `wishes = ["rest"]`, `"rest" is none of`},
		{`who = "Coach of both Kelp Bay teams"`, ``, "who it is"},
		{`why = "Winter break"`, ``, "needs a why"},
		{`plays = "harbour-open"`, `pleys = "harbour-open"`, `there is no setting "division.pleys"`},
		{`for = ["u14", "open"]`, `for = ["u13"]`, `there is no division "u13"`},
		{`procedure = "usah-nationals"`, `procedure = "by-luck"`, `there is no procedure "by-luck"`},
		{`procedure = "usah-nationals"`, ``, "one of the two"},
		{`counts = "sealed"`, ``, "when is a game in the table?"},
		{`last = "lots"`, `last = "dice"`, "Write lots or game"},
		{`book = "usah"`, `book = "nobody"`, `there is no book "nobody"`},
		{`several = "one_after_the_other"`, ``, `serving.several: "" is none of one_after_the_other, together`},
		{`season_end = "carried_over"`, `season_end = "forgotten"`, `suspensions: serving.season_end: "forgotten"`},
		{`age = "adult"`, ``, "write youth or adult"},
		{`through = 2`, `through = 9`, "how many of its teams go on"},
		{`way = "two_left"`, `way = "around"`, `"around" is none of`},
		{`keeper_minutes = 40`, `keeper_minutes = 400`, "hundredths"},
		{`drive = { ropewalk = 25 }`, `drive = { roperun = 25 }`, `"roperun"`},
	} {
		if !strings.Contains(text, c.replace) {
			t.Errorf("%s is not in the file", c.replace)
			continue
		}
		_, err := league.Read([]byte(strings.Replace(text, c.replace, c.by, 1)), "harbour.toml")
		if err == nil || !strings.Contains(locale.English().Error(err), c.says) || !strings.HasPrefix(locale.English().Error(err), "harbour.toml") {
			t.Errorf("%s for %s: %v, want %s", c.by, c.replace, err, c.says)
		}
	}
}

func FuzzRead(f *testing.F) {
	_, text := harbour(f)
	f.Add([]byte(text))
	f.Add([]byte("name = 1"))
	f.Fuzz(func(t *testing.T, text []byte) {
		l, err := league.Read(text, "x.toml")
		if err != nil {
			return
		}
		for _, slot := range l.Slots() {
			if slot.Day < l.From || slot.Day > l.To {
				t.Fatalf("%s is not in the season", l.Named(slot))
			}
		}
	})
}

// Every fault of the file says on which line it is.
func TestTheLineIsNamed(t *testing.T) {
	_, text := harbour(t)
	for _, c := range []struct{ replace, by, at string }{
		{`sheets = 2`, `sheets = 40`, "[[rink]]"},
		{`age = "youth"`, `age = "old"`, `id = "u12"`},
		{`home = "ropewalk" },`, `home = "elsewhere" },`, `home = "elsewhere"`},
		{`counts = "sealed"`, `counts = "soon"`, `counts = "soon"`},
		{`season_end = "carried_over"`, `season_end = "forgotten"`, `season_end = "forgotten"`},
		{`season_end = "carried_over"`, ``, "[suspensions.serving]"},
		{`why = "Winter break"`, ``, "[[closed]]"},
	} {
		wrong := strings.Replace(text, c.replace, c.by, 1)
		line := 1 + strings.Count(wrong[:strings.Index(wrong, c.at)], "\n")
		_, err := league.Read([]byte(wrong), "harbour.toml")
		if want := fmt.Sprintf("harbour.toml, line %d: ", line); err == nil || !strings.HasPrefix(locale.English().Error(err), want) {
			t.Errorf("%s: %v, want %s", c.by, locale.English().Error(err), want)
		}
	}
}

func TestDecisions(t *testing.T) {
	l, _ := harbour(t)
	for _, c := range []struct{ text, says string }{
		{"[[result]]\ngame = \"u12-001\"\nhome = 2\nvisitors = 1\nhow = \"reg\"\nwhy = \"sheet on paper\"\n", ""},
		{"[[result]]\ngame = \"u12-001\"\nhome = 2\nvisitors = 2\nhow = \"so\"\nwhy = \"x\"\n", "line 1"},
		{"[[result]]\ngame = \"u12-001\"\nhow = \"luck\"\nwhy = \"x\"\n", "write reg, ot, so"},
		{"[[forfeit]]\ngame = \"u12-001\"\nto = \"millrace-u12\"\n", "says why"},
		{"[[forfeit]]\ngame = \"u12-001\"\nto = \"moon\"\nwhy = \"x\"\n", `no team "moon"`},
		{"[[forfeit]]\ngame = \"a\"\nwhy = \"x\"\n\n[[forfeit]]\ngame = \"a\"\nwhy = \"x\"\n", "line 5"},
		{"[[ruling]]\nperson = \"millrace-u12/A\"\ngames = 3\n", "says why"},
		{"[[points]]\nteam = \"millrace-u12\"\npoints = -1\non = 2026-12-01\nwhy = \"fine\"\n", ""},
		{"[[lots]]\ndivision = \"u12\"\nteams = [\"millrace-u12\"]\nwhy = \"x\"\n", "two of its teams"},
		{"[[luck]]\nteam = \"x\"\n", "no setting"},
	} {
		_, err := league.ReadDecisions([]byte(c.text), "decisions.toml", l)
		switch {
		case c.says == "" && err != nil:
			t.Errorf("%s: %s", c.text, locale.English().Error(err))
		case c.says != "" && (err == nil || !strings.Contains(locale.English().Error(err), c.says)):
			t.Errorf("%s: %v, want %s", c.text, err, c.says)
		}
	}
}

func FuzzReadDecisions(f *testing.F) {
	l, _ := harbour(f)
	f.Add([]byte("[[result]]\ngame = \"u12-001\"\nhome = 2\nvisitors = 1\nhow = \"reg\"\nwhy = \"x\"\n"))
	f.Add([]byte("[[lots]]\ndivision = \"u12\"\nteams = [\"millrace-u12\", \"kelp-bay-u12\"]\nwhy = \"x\"\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		d, err := league.ReadDecisions(text, "x.toml", l)
		if err == nil && len(d.Results) > 0 && d.Results[0].Why == "" {
			t.Fatal("a decision without a reason was read")
		}
	})
}
