package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const leagueOfTests = "../../testdata/league/harbour.toml"

// No game of a new season has the id of a game of an earlier one, whatever the file is
// called and whether it is made or read; the old schedule stays.
func TestANewSeasonsScheduleHasOtherIds(t *testing.T) {
	t.Parallel() // it waits most of its time
	folder, data := t.TempDir(), t.TempDir()
	text, err := os.ReadFile(leagueOfTests)
	if err != nil {
		t.Fatal(err)
	}
	next, last := filepath.Join(folder, "next.toml"), filepath.Join(folder, "last.toml")
	later := func(file, season, year, yearAfter string) {
		text := strings.NewReplacer("2026-27", season, "2026-", year+"-", "2027-", yearAfter+"-").Replace(string(text))
		if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	later(next, "2027-28", "2027", "2028")
	later(last, "2028-29", "2028", "2029")
	file := filepath.Join(folder, "schedule.json")
	must(t, "season", "schedule", leagueOfTests, "--out", file)
	must(t, "season", "keep", leagueOfTests, file, "--data", data)
	old, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	// Made elsewhere it has the same ids, which the bench's folder refuses.
	elsewhere := filepath.Join(t.TempDir(), "schedule.json")
	must(t, "season", "schedule", next, "--out", elsewhere)
	if out, failed := runs(t, "season", "keep", next, elsewhere, "--data", data); !failed || !strings.Contains(out, "--old") {
		t.Errorf("%s", out)
	}
	must(t, "season", "schedule", next, "--out", elsewhere, "--old", file)
	if out, failed := runs(t, "season", "schedule", next, "--out", elsewhere, "--old", elsewhere); !failed || !strings.Contains(out, "no schedule of another season") {
		t.Errorf("%s", out)
	}
	must(t, "season", "schedule", next, "--out", file)
	if aside, err := os.ReadFile(filepath.Join(folder, "schedule-before.json")); err != nil || string(aside) != string(old) {
		t.Errorf("the schedule of before is not kept beside the new one: %v", err)
	}
	must(t, "season", "keep", next, file, "--data", data)
	if aside, err := os.ReadFile(filepath.Join(data, "league", "schedule-before.json")); err != nil || string(aside) != string(old) {
		t.Errorf("the bench does not have the schedule of before: %v", err)
	}
	seen := map[string]bool{}
	ids := func(league, file string) {
		rows := strings.Split(strings.TrimSpace(must(t, "season", "export", league, file)), "\n")
		for _, row := range rows[1:] {
			id, _, _ := strings.Cut(row, ",")
			if seen[id] {
				t.Errorf("%s is a game of two seasons", id)
			}
			seen[id] = true
		}
	}
	ids(leagueOfTests, filepath.Join(folder, "schedule-before.json"))
	ids(next, file)
	// A third season, read from a table without ids.
	games := filepath.Join(folder, "games.csv")
	if err := os.WriteFile(games, []byte("division,home,visitors,day,start,rink\nU14,Kelp Bay,Northmole,2028-11-18,10:00,Saltworks\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	must(t, "season", "schedule", last, "--from", games, "--out", file)
	ids(last, file)
	if len(seen) != 27+27+1 {
		t.Errorf("%d games in three seasons", len(seen))
	}
}

// A schedule is made, checked, changed and handed out, with nothing but files.
func TestSeasonSchedule(t *testing.T) {
	file := filepath.Join(t.TempDir(), "schedule.json")
	if out := must(t, "season", "schedule", leagueOfTests, "--out", file); !strings.Contains(out, "schedule.json: 27 games on 191 ice slots.") || strings.Contains(out, "No ice") {
		t.Errorf("%s", out)
	}
	if out := must(t, "season", "check", leagueOfTests, file); strings.Contains(out, "Cannot be") {
		t.Errorf("%s", out)
	}
	before, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	move := []string{"season", "change", leagueOfTests, file, "u14-001", "--rink", "saltworks", "--day", "2026-12-26", "--start", "10:00", "--why", "heating"}
	out, failed := runs(t, move...)
	if after, err := os.ReadFile(file); !failed || err != nil || string(after) != string(before) || !strings.Contains(out, "nobody plays that day (Winter break)") || !strings.Contains(out, "2026-12-26 10:00") {
		t.Errorf("%v: %s", failed, out)
	}
	must(t, append(move, "--anyway")...)
	if out, failed := runs(t, "season", "check", leagueOfTests, file); !failed || !strings.Contains(out, "Things that cannot be") {
		t.Errorf("%s", out)
	}
	must(t, "season", "change", leagueOfTests, file, "u14-001", "--state", "postponed", "--why", "no ice")
	csv := must(t, "season", "export", leagueOfTests, file, "--team", "kelp-bay-u14")
	if lines := strings.Split(strings.TrimSpace(csv), "\n"); len(lines) != 7 || !strings.Contains(lines[6], "u14-001,u14,1,Kelp Bay,Northmole,,,,,,postponed,2") {
		t.Errorf("%s", csv)
	}
	// Whoever had the game in a calendar sees that it is off, and why.
	ics := strings.ReplaceAll(must(t, "season", "export", leagueOfTests, file, "--as", "ics", "--team", "kelp-bay-u14"), "\r\n", "\n")
	for _, want := range []string{"TZID:Europe/Oslo", "SEQUENCE:2\nDTSTART;TZID=Europe/Oslo:20261226T100000", "SUMMARY:postponed: Kelp Bay – Northmole", "DESCRIPTION:no ice\nSTATUS:CANCELLED"} {
		if !strings.Contains(ics, want) {
			t.Errorf("%q is not in\n%s", want, ics)
		}
	}
	if rink := must(t, "season", "export", leagueOfTests, file, "--as", "ics", "--rink", "saltworks"); !strings.Contains(rink, "postponed: Kelp Bay – Northmole") {
		t.Errorf("whoever follows the rink does not learn that a game there is off:\n%s", rink)
	}
	for _, test := range []struct {
		arguments []string
		want      string
	}{
		{[]string{"season", "change", leagueOfTests, file, "u14-099", "--why", "x"}, "There is no game u14-099"},
		{[]string{"season", "change", leagueOfTests, file, "u14-002", "--why", "x", "--state", "late"}, "late is no state"},
		{[]string{"season", "change", leagueOfTests, file, "u14-002", "--why", "x", "--rink", "moon"}, "no rink moon"},
		{[]string{"season", "export", leagueOfTests, file, "--team", "nobody"}, "No game"},
		{[]string{"season", "check", leagueOfTests, leagueOfTests}, "no schedule"},
		{[]string{"season", "schedule", file, "--out", file}, "schedule.json"},
		{[]string{"season", "schedule", leagueOfTests, "--out", file, "--moves=-1"}, "Between 0 and"},
	} {
		if out, failed := runs(t, test.arguments...); !failed || !strings.Contains(out, test.want) {
			t.Errorf("%v: %s", test.arguments, out)
		}
	}
}

// What season export writes is read back: as a table and as a calendar, the games are
// the same ones, and nothing is changed.
func TestSeasonScheduleFrom(t *testing.T) {
	folder := t.TempDir()
	file := filepath.Join(folder, "schedule.json")
	must(t, "season", "schedule", leagueOfTests, "--out", file)
	for _, as := range []string{"csv", "ics"} {
		from := filepath.Join(folder, "games."+as)
		if err := os.WriteFile(from, []byte(must(t, "season", "export", leagueOfTests, file, "--as", as)), 0o600); err != nil {
			t.Fatal(err)
		}
		if out := must(t, "season", "schedule", leagueOfTests, "--out", file, "--from", from); !strings.Contains(out, "27 games, of them new 0, changed 0.") {
			t.Errorf("%s:\n%s", as, out)
		}
		fresh := filepath.Join(folder, "fresh-"+as+".json")
		if out := must(t, "season", "schedule", leagueOfTests, "--out", fresh, "--from", from); !strings.Contains(out, "27 games, of them new 27, changed 0.") {
			t.Errorf("%s:\n%s", as, out)
		}
	}
	moved := filepath.Join(folder, "moved.csv")
	text := "Game;Division;Home;Visitors;Day;Start;Rink\nu14-001;Under 14;Kelp Bay;Northmole;28.11.2026;10:00;Saltworks Arena, sheet 1\nu14-002;Under 14;Lanternside;Millrace;03/04/2026;10:00;Ropewalk Rink\n"
	if err := os.WriteFile(moved, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	out := must(t, "season", "schedule", leagueOfTests, "--out", file, "--from", moved)
	for _, want := range []string{"Line 3: \"03/04/2026\" is one day for some and another for others.", "changed 1.", "Game u14-002 of the schedule is not in the file."} {
		if !strings.Contains(out, want) {
			t.Errorf("%q is not in\n%s", want, out)
		}
	}
	if out, failed := runs(t, "season", "schedule", leagueOfTests, "--out", file, "--from", leagueOfTests); !failed {
		t.Errorf("%s", out)
	}
}
