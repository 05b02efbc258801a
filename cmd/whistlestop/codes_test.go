package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
	"whistlestop/internal/locale"
)

func TestCodesAreListedWithTheirPolicies(t *testing.T) {
	got, failed := command(t, "codes")
	if failed != "" {
		t.Fatal(failed)
	}
	for _, want := range []string{
		"iihf: IIHF\n  IIHF Official Rule Book 2025/26, version 1.1 (July 2025)\n",
		"  - One minor each at a stoppage: both are substituted for at once, and nobody plays short. [19.1]\n",
		"nobody plays short for it", // only in full
		"  - In the last 5:00 of regulation, and in overtime, a minor against a major is played as the difference. [19.4]\n",
		"  - Penalty number 4 of a player in a game sends the player off. [401(b); web rule page of 2021-25; two state bodies' pages agree]\n",
		"  - An awarded goal ends a minor like any goal. [from memory]\n",
		deference,
	} {
		if strings.Contains(got, want) == (want == "nobody plays short for it") {
			t.Errorf("wrong about %q in\n%s", want, got)
		}
	}
}

// TestEveryValueOfACodeHasWords finds a value that the catalogue has no sentence
// for: it would be printed as its key.
func TestEveryValueOfACodeHasWords(t *testing.T) {
	for _, code := range rulebook.Codes() {
		got, failed := command(t, "codes", code.ID)
		if failed != "" || !strings.HasPrefix(got, code.ID+": "+code.Name+"\n") {
			t.Fatalf("%s\n%s", failed, got)
		}
		if strings.Contains(got, "command.") || strings.Contains(got, "call.") || strings.Contains(got, "[]") {
			t.Errorf("a value without words or source in\n%s", got)
		}
	}
	for _, topic := range rulebook.Topics() {
		if !locale.English().Has("command.topic." + string(topic)) {
			t.Errorf("topic %s has no words", topic)
		}
	}
}

func TestCodesAsJSON(t *testing.T) {
	got, failed := command(t, "codes", "--json")
	if failed != "" {
		t.Fatal(failed)
	}
	var list []struct {
		ID       string
		Settings []struct {
			Table, Key, Rule, Source string
			Value                    any
		}
		Rules map[string]struct{ Rule, Source string }
	}
	if err := json.Unmarshal([]byte(got), &list); err != nil {
		t.Fatal(err)
	}
	if len(list) != len(rulebook.Codes()) {
		t.Fatalf("%d codes", len(list))
	}
	for _, code := range list {
		if len(code.Rules) != len(rulebook.Topics()) {
			t.Errorf("%s cites %d topics", code.ID, len(code.Rules))
		}
		for _, s := range code.Settings {
			if s.Source == "" || s.Value == nil {
				t.Errorf("%s.%s of %s has no source or value", s.Table, s.Key, code.ID)
			}
		}
	}
	one, failed := command(t, "codes", "iihf", "--json")
	if failed != "" || !strings.HasPrefix(one, "{\n  \"id\": \"iihf\"") {
		t.Errorf("%s\n%s", failed, one)
	}
	var ids []string
	for _, code := range rulebook.Codes() {
		ids = append(ids, code.ID)
	}
	if _, failed := command(t, "codes", "beer"); failed != "There is no code beer. The codes are "+strings.Join(ids, ", ")+"." {
		t.Error(failed)
	}
}

func TestDivisionsAreListedShownAndChecked(t *testing.T) {
	list, failed := command(t, "divisions")
	if failed != "" || !strings.Contains(list,
		"harbour-u14: Harbour League, Under 14; 12:00 + 12:00 + 12:00, minor 1:30; code usah-youth\n") {
		t.Errorf("%s\n%s", failed, list)
	}
	shown, failed := command(t, "divisions", "harbour-u14")
	if failed != "" {
		t.Fatal(failed)
	}
	folder := t.TempDir()
	check := func(text string) (string, string) {
		file := filepath.Join(folder, "mine.toml")
		if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return command(t, "divisions", file)
	}
	changed := strings.Replace(shown, `id = "harbour-u14"`, `id = "mine"`, 1)
	if got, failed := check(changed); failed != "" || !strings.HasPrefix(got, "mine.toml can be used.\nmine: Harbour League, Under 14;") {
		t.Errorf("%s\n%s", failed, got)
	}
	if got, failed := check(strings.Replace(changed, "skaters = 5", "skaters = 9", 1)); got != "" ||
		failed != "This division cannot be used. mine.toml, line 11: a side has three to six skaters, not 9." {
		t.Errorf("%q\n%s", failed, got)
	}
	if _, failed := command(t, "divisions", "no-such"); !strings.HasPrefix(failed, "There is no division no-such, and no file") {
		t.Error(failed)
	}
	if _, failed := command(t, "divisions", folder); !strings.Contains(failed, "cannot be read") {
		t.Error(failed)
	}
}

// TestEveryVariantPlays: a division is of use only if a game can be played by it.
// Each file of published local variation opens a game in which three minors of a
// side and a goal fold, and the game can go on.
func TestEveryVariantPlays(t *testing.T) {
	files, err := filepath.Glob("../../game/rulebook/testdata/variants/*.toml")
	if err != nil || len(files) < 21 {
		t.Fatalf("%d variants: %v", len(files), err)
	}
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			if got, failed := command(t, "divisions", file); failed != "" || !strings.Contains(got, "can be used") {
				t.Fatalf("%s\n%s", failed, got)
			}
			text, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			d, err := rulebook.ParseDivision(text, filepath.Base(file))
			if err != nil {
				t.Fatal(err)
			}
			g := openTape(t, d)
			g.begin(1)
			g.penalty(1, "1:00", minor(entry.Home, "4", "hooking"))
			g.penalty(1, "1:10", minor(entry.Home, "5", "tripping"))
			g.penalty(1, "1:20", minor(entry.Home, "6", "slashing"))
			g.goal(1, "1:30", entry.Visitors, "9")
			state, err := rules.Fold(g.entries)
			if err != nil {
				t.Fatal(err)
			}
			class, skaters := rules.PowerPlay, [2]int{3, 5}
			if f := d.Lengths.Form; f == rulebook.MinorShot || f == rulebook.MinorShift {
				class, skaters = rules.EvenStrength, [2]int{5, 5} // a minor costs nobody a skater
			}
			if len(state.Next) == 0 || state.Goals[0].Class != class || state.Goals[0].Skaters != skaters {
				t.Errorf("next %v, goal %+v", state.Next, state.Goals[0])
			}
		})
	}
}
