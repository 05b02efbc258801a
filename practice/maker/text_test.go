package maker

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"whistlestop/game/rules"
	"whistlestop/internal/locale"
	"whistlestop/practice/plot"
)

const shortScript = `practice 1
id       short
title    A short one
division harbour-u14
home     Kelp Bay: 1g 4 5 7 9 12
visitors Lanternside: 30g 2 6 9 10

period 1
11:30 offside
`

func TestFaultsAreNamed(t *testing.T) {
	for _, test := range []struct{ name, text, want string }{
		{"nothing", "", "line 1: a script begins with"},
		{"another file", "id = 3", "line 1: a script begins with"},
		{"no division", "practice 1\nid a\ntitle b\n", "the line \"division\" is missing"},
		{"unknown key", "practice 1\ncolour red\n", "line 2: nothing is called \"colour\" here"},
		{"twice", "practice 1\nid a\nid b\n", "line 3: id stands here twice"},
		{"unknown division", "practice 1\ndivision moon\n", "line 2: there is no division \"moon\""},
		{"bad number", "practice 1\nhome Kelp Bay: 1g seven\n", "line 2: \"seven\" is not a sweater number"},
		{"number twice", "practice 1\nhome Kelp Bay: 1g 7 7\n", "line 2: Number 7 stands twice"},
		{"level", "practice 1\nlevel 9\n", "line 2: \"9\" is not a whole number from 1 to 5"},
		{"period before division", "practice 1\nperiod 1\n", "line 2: the division comes before"},
		{"time", shortScript + "11:75 offside\n", "line 10: \"11:75\" is not a time"},
		{"too long", shortScript + "14:00 offside\n", "line 10: the clock of period 1 shows whole seconds from 12:00"},
		{"no side", shortScript + "11:00 goal 9\n", "line 10: period 1, 11:00 left: say first for which side"},
		{"goal of whom", shortScript + "11:00 goal home\n", "line 10: period 1, 11:00 left: say who scored"},
		{"strange goal", shortScript + "11:00 goal home 9 lucky\n", "line 10: period 1, 11:00 left: \"lucky\" is nothing that can be said of a goal"},
		{"strange penalty", shortScript + "11:00 penalty home 9 tripping yellow\n", "line 10: period 1, 11:00 left: \"yellow\" cannot be imposed"},
		{"short penalty", shortScript + "11:00 penalty home 9\n", "line 10: period 1, 11:00 left: a penalty has a side, a number, a call"},
		{"what", shortScript + "11:00 dance\n", "line 10: period 1, 11:00 left: nothing is called \"dance\"; at a whistle"},
		{"unknown call", shortScript + "11:00 penalty home 9 tackling minor\n", "line 10: period 1, 11:00 left: \"tackling\" is not a call of this division's rule book; with that letter it has"},
		{"penalty of a stranger", shortScript + "11:00 penalty home 99 tripping minor\n", "line 10: period 1, 11:00 left: number 99 is not on the roster of Kelp Bay"},
		{"served by a stranger", shortScript + "11:00 penalty home bench too_many_players bench_minor served-by 98\n", "number 98 is not on the roster of Kelp Bay"},
		{"goal of a stranger", shortScript + "11:00 goal visitors 12\n", "number 12 is not on the roster of Lanternside"},
		{"assist of a stranger", shortScript + "11:00 goal visitors 9 from 10 12\n", "number 12 is not on the roster of Lanternside"},
		{"captain names a stranger", shortScript + "11:00 captain 97\n", "number 97 is not on the roster"},
		{"reason late", shortScript + "11:00 goal home 9\n11:00 offside\n", "line 11: what the whistle was for, offside, comes first"},
		{"back in time", shortScript + "11:40 offside\n", "each later than the one before"},
		{"no goal to take back", shortScript + "11:00 no-goal\n", "period 1, 11:00 left: a goal can be taken back at its own whistle"},
		{"overtime of a game that is decided", shortScript + "11:00 goal home 9\nperiod 4\n4:00 offside\n", "the game is over after period 3"},
		{"period that is not there", shortScript + "period 9\n4:00 dance\n", "line 11: period 9, 4:00 left: nothing is called \"dance\""},
		{"running too fast", shortScript + "11:00 running-time on\n10:58 offside\n10:50 icing\n", "leave at least a minute"},
	} {
		t.Run(test.name, func(t *testing.T) {
			_, err := Parse([]byte(test.text), "own.practice", builtIn(nil))
			if err == nil || !strings.Contains(locale.English().Error(err), test.want) || !strings.HasPrefix(locale.English().Error(err), "own.practice") {
				t.Errorf("%v, want %s", err, test.want)
			}
		})
	}
}

// TestScriptsAreWrittenAsPrinted: the scripts that come with the program are in
// the form in which the program prints a script.
func TestScriptsAreWrittenAsPrinted(t *testing.T) {
	names, err := filepath.Glob("scripts/*.practice")
	if err != nil || len(names) != len(plot.Skills)+3 {
		t.Fatalf("%d scripts, %v", len(names), err)
	}
	for _, name := range names {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		s, err := Parse(text, name, builtIn(rinkCard(t)))
		if err != nil {
			t.Fatal(err)
		}
		if s.Text() != string(text) {
			t.Errorf("%s is printed as\n%s", name, s.Text())
		}
	}
}

// TestThePublishedExampleIsAScript reads the example of the page for coordinators.
func TestThePublishedExampleIsAScript(t *testing.T) {
	page, err := os.ReadFile("../../docs/practice-scripts.md")
	if err != nil {
		t.Fatal(err)
	}
	_, rest, found := strings.Cut(string(page), "```\npractice 1\n")
	text, _, ends := strings.Cut(rest, "```")
	if !found || !ends {
		t.Fatal("the page has no example")
	}
	if _, err := Parse([]byte("practice 1\n"+text), "example", builtIn(nil)); err != nil {
		t.Error(err)
	}
}

// TestThePublishedAnswer: the answer of the standard practice game on its page is
// the one that the program gives. UPDATE=1 writes it again.
func TestThePublishedAnswer(t *testing.T) {
	english := locale.English()
	want := StandardPage(func(s rules.Say) string { return english.Text(s.Key, s.Args) })
	published(t, "../../docs/standard-practice-game.md", want)
}

// published holds a page against what the program says. UPDATE=1 writes it.
func published(t *testing.T, name, want string) {
	t.Helper()
	if os.Getenv("UPDATE") != "" {
		if err := os.WriteFile(name, []byte(want), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	page, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if string(page) != want {
		t.Errorf("%s is not what the program says: UPDATE=1 go test -tags no_ui -run %s ./practice/maker", name, t.Name())
	}
}
