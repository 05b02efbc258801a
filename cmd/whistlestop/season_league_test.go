package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"whistlestop/season/schedule"
)

// aSeason is a folder with the whole game and a schedule in which it has its place.
func aSeason(t *testing.T) (folder string, flags []string) {
	t.Helper()
	folder = t.TempDir()
	raw, err := os.ReadFile(wholeLedger)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(folder, "whole.jsonl"), raw, 0o600); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "schedule.json")
	must(t, "season", "schedule", leagueOfTests, "--out", file)
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var kept schedule.File
	if err := json.Unmarshal(text, &kept); err != nil {
		t.Fatal(err)
	}
	for i, g := range kept.Games {
		if g.Division == "open" && g.Home == "lanternside" && g.Visitors == "kelp-bay" {
			kept.Games[i].Home, kept.Games[i].Visitors = g.Visitors, g.Home
		}
		if g := kept.Games[i]; g.Home == "kelp-bay" && g.Visitors == "lanternside" {
			kept.Games[i].ID = "open-007"
			kept.Games[i].Place = &schedule.Place{Rink: "saltworks", Sheet: 2, Day: 20730, Start: 480, Minutes: 90} // before all others
		}
	}
	if text, err = json.Marshal(kept); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, text, 0o600); err != nil {
		t.Fatal(err)
	}
	return folder, []string{"--league", leagueOfTests, "--schedule", file}
}

// A folder of ledgers, a league file and its schedule make the season: table,
// suspensions with the games that they take, figures, and what changed.
func TestSeasonOfALeague(t *testing.T) {
	folder, flags := aSeason(t)
	run := func(arguments ...string) string {
		return must(t, append(append([]string{"season"}, arguments...), flags...)...)
	}
	table := run("standings", folder, "--division", "open")
	for _, want := range []string{"Open: games in the table 1, to come 2.", "Kelp Bay", "Millrace"} {
		if !strings.Contains(table, want) {
			t.Errorf("%q is not in\n%s", want, table)
		}
	}
	if before := run("standings", folder, "--division", "open", "--at", "2026-10-01"); !strings.Contains(before, "games in the table 0, to come 3") {
		t.Errorf("at the beginning:\n%s", before)
	}
	what := run("standings", folder, "--division", "open", "--chances", "--pick", next(t, flags)+"=1-0")
	if !strings.Contains(what, "games in the table 2, to come 1.") || !strings.Contains(what, "through") {
		t.Errorf("%s", what)
	}
	for _, pick := range []string{"open-007=1-0", "nothing=1-0", next(t, flags) + "=1", next(t, flags) + "=1-0:luck", next(t, flags) + "=1-1:so"} {
		if out, failed := runs(t, append([]string{"season", "standings", folder, "--pick", pick}, flags...)...); !failed {
			t.Errorf("%s: %s", pick, out)
		}
	}
	owed := run("suspensions", folder)
	for _, want := range []string{"Player 3, Lanternside: games suspended: 1 (404(b), game open-007).", "has to miss open-00", "only the league pronounces"} {
		if !strings.Contains(owed, want) {
			t.Errorf("%q is not in\n%s", want, owed)
		}
	}
	takes := owed[strings.Index(owed, "has to miss ")+len("has to miss "):][:len("open-007")]
	if out := run("suspensions", folder, "--game", takes); !strings.Contains(out, "Player 3 has to miss it: 404(b) in game open-007, this is number 1 of 1.") {
		t.Errorf("%s", out)
	}
	if figures := run("figures", folder); !strings.Contains(figures, "Player 3") || !strings.Contains(figures, "Lanternside") {
		t.Errorf("%s", figures)
	}
	leaders := run("figures", folder, "--leaders", "--division", "open")
	for _, want := range []string{"Open: Points", "Open: Saved", "1 game"} {
		if !strings.Contains(leaders, want) {
			t.Errorf("%q is not in\n%s", want, leaders)
		}
	}
	if plain := must(t, "season", "figures", folder, "--leaders"); !strings.Contains(plain, "Points\n1") {
		t.Errorf("%s", plain)
	}
	export := func(arguments ...string) (string, bool) {
		return runs(t, append([]string{"season", "export", leagueOfTests, flags[3]}, arguments...)...)
	}
	for _, one := range [][2]string{{"pdf", "%PDF-1.7"}, {"xlsx", "PK"}, {"html", "<h1>Harbour League, season 2026-27</h1>"}, {"json", `"name": "goalkeepers"`}} {
		file := filepath.Join(t.TempDir(), "season."+one[0])
		out, failed := export(folder, "--as", one[0], "--out", file)
		if text, err := os.ReadFile(file); failed || err != nil || !strings.Contains(string(text), one[1]) {
			t.Errorf("%s: %v %s", one[0], err, out)
		}
	}
	if out, _ := export(folder, "--what", "skaters", "--names", "adults"); !strings.Contains(out, "Open,Player 3,Lanternside,1,") {
		t.Errorf("%s", out)
	}
	if out, _ := export(folder, "--what", "suspensions"); !strings.Contains(out, "Open,#3,Lanternside,,,1,") {
		t.Errorf("%s", out)
	}
	for _, wrong := range [][]string{{folder}, {"--what", "standings"}, {folder, "--what", "luck"}} {
		if out, failed := export(wrong...); !failed {
			t.Errorf("%v: %s", wrong, out)
		}
	}
	if behind := run("figures", folder, "--of", "Player 3"); !strings.Contains(behind, "lanternside/Player 3") || !strings.Contains(behind, "game open-007, entry ") {
		t.Errorf("%s", behind)
	}
	var whole struct{ Divisions []struct{ ID string } }
	if err := json.Unmarshal([]byte(run("figures", folder, "--json")), &whole); err != nil || len(whole.Divisions) != 3 {
		t.Errorf("%v %v", whole, err)
	}
	if same := run("changes", folder, folder); !strings.Contains(same, "Nothing is different") {
		t.Errorf("%s", same)
	}
	if all := run("changes", t.TempDir(), folder); !strings.Contains(all, "Player 3 is suspended now (404(b))") || !strings.Contains(all, "was no result, is") {
		t.Errorf("%s", all)
	}
	pack := filepath.Join(t.TempDir(), "open-007.zip")
	if out := run("hand-in", folder, "--game", "open-007", "--out", pack); !strings.Contains(out, "games 1, SHA-256 ") || !strings.Contains(out, "open-007: late, the 24 hours ended on 2026-09-2") {
		t.Errorf("%s", out)
	}
	if again := run("hand-in", folder, "--week", "2026-10-01", "--out", pack); !strings.Contains(again, "games 1, SHA-256 ") {
		t.Errorf("%s", again)
	}
	if _, err := os.Stat(pack + ".receipt.json"); err != nil {
		t.Error(err)
	}
	for _, wrong := range [][]string{{"--game", "u12-001"}, {"--week", "soon"}, {}} {
		if out, failed := runs(t, append(append([]string{"season", "hand-in", folder, "--out", pack}, wrong...), flags...)...); !failed {
			t.Errorf("%v: %s", wrong, out)
		}
	}
	decisions := filepath.Join(t.TempDir(), "decisions.toml")
	text := "[[forfeit]]\ngame = \"open-007\"\nto = \"lanternside\"\nwhy = \"a player who was not eligible\"\n\n[[points]]\nteam = \"kelp-bay\"\npoints = -2\nwhy = \"fined\"\n"
	if err := os.WriteFile(decisions, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	table = run("standings", folder, "--division", "open", "--decisions", decisions)
	if !strings.Contains(table, "Kelp Bay: points -2, fined.") || !strings.Contains(table, "1-0    3") {
		t.Errorf("%s", table)
	}
	if out, failed := runs(t, "season", "standings", folder, "--league", leagueOfTests); !failed || !strings.Contains(out, "--schedule") {
		t.Errorf("%s", out)
	}
}

// next is a game to come of the Open division.
func next(t *testing.T, flags []string) string {
	t.Helper()
	text, err := os.ReadFile(flags[3])
	if err != nil {
		t.Fatal(err)
	}
	var kept schedule.File
	if err := json.Unmarshal(text, &kept); err != nil {
		t.Fatal(err)
	}
	for _, g := range kept.Games {
		if g.Division == "open" && g.ID != "open-007" {
			return g.ID
		}
	}
	t.Fatal("there is no game to come")
	return ""
}
