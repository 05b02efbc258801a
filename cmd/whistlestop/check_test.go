package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// ended runs a command and returns what it printed, what went wrong, and the
// exit status.
func ended(t *testing.T, arguments ...string) (printed, failed string, code int) {
	t.Helper()
	var out, log, wrong bytes.Buffer
	p := &Program{Out: &out, Log: &log}
	code = p.end(&wrong, p.Run(t.Context(), arguments))
	if err := p.Close(); err != nil {
		t.Fatal(err)
	}
	return out.String(), wrong.String(), code
}

func written(t *testing.T, name, text string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return file
}

const (
	typedSheet  = "../../record/typed/testdata/example.csv"
	wholeLedger = "../../record/report/testdata/whole-game.jsonl"
)

func TestCheckOfASoundRecord(t *testing.T) {
	for _, arguments := range [][]string{
		{"check", wholeLedger},
		{"check", typedSheet, "--division", "harbour-u14", "--times", "remaining"},
	} {
		printed, failed, code := ended(t, arguments...)
		if code != 0 || failed != "" || !strings.Contains(printed, "nothing to point at") {
			t.Errorf("%v: %d, %q, %q", arguments, code, printed, failed)
		}
	}
}

// TestCheckReadsOurOwnReports: a report in any of its forms is audited like the
// ledger, and a change in it is found.
func TestCheckReadsOurOwnReports(t *testing.T) {
	folder := t.TempDir()
	for _, ending := range []string{"json", "csv", "xlsx"} {
		file := filepath.Join(folder, "report."+ending)
		if printed, failed, code := ended(t, "report", wholeLedger, "--out", file); code != 0 {
			t.Fatal(printed, failed)
		}
		printed, failed, code := ended(t, "check", file)
		if code != 0 || failed != "" || !strings.Contains(printed, "nothing to point at") {
			t.Errorf("%s: %d, %q, %q", ending, code, printed, failed)
		}
	}
	text, err := os.ReadFile(filepath.Join(folder, "report.csv"))
	if err != nil {
		t.Fatal(err)
	}
	spoilt := strings.Replace(string(text), "head,home_score,5,", "head,home_score,6,", 1)
	if spoilt == string(text) {
		t.Fatal("nothing is spoilt:", spoilt[:800])
	}
	if printed, _, code := ended(t, "check", written(t, "spoilt.csv", spoilt)); code != 1 || !strings.Contains(printed, "final score") {
		t.Errorf("%d, %q", code, printed)
	}
	if _, failed, code := ended(t, "check", written(t, "other.json", `{"version": 2}`)); code != 2 || !strings.Contains(failed, "no report") {
		t.Errorf("%d, %q", code, failed)
	}
}

func TestCheckPointsAtMistakes(t *testing.T) {
	text, err := os.ReadFile(typedSheet)
	if err != nil {
		t.Fatal(err)
	}
	spoilt := strings.Replace(string(text), "17,12,PP", "17,12,EV", 1)
	file := written(t, "spoilt.csv", strings.Replace(spoilt, "score,2,", "score,3,", 1))
	printed, failed, code := ended(t, "check", file, "--division", "harbour-u14", "--times", "remaining")
	for _, want := range []string{
		"wrong: row 13, Kelp Bay 9 at 3:58: written as even strength; by the penalties it is power play.",
		"(USA Hockey, youth, girls and high school, 402(c))",
		"wrong: row 20, Kelp Bay: final score written as 3; the goals make 2.",
		"wrong: 3, look again: 0, owed: 0",
	} {
		if !strings.Contains(printed, want) {
			t.Errorf("%q is not in\n%s", want, printed)
		}
	}
	if code != 1 || failed != "" {
		t.Errorf("ended with %d, %q", code, failed)
	}
	printed, _, code = ended(t, "check", file, "--division", "harbour-u14", "--times", "remaining", "--json")
	var out checked
	if err := json.Unmarshal([]byte(printed), &out); err != nil {
		t.Fatalf("%v in %s", err, printed)
	}
	var ids []string
	for _, f := range out.Findings {
		ids = append(ids, f.ID)
		if f.Words.What == "" || f.Words.Why == "" || f.Words.Right == "" {
			t.Errorf("%s says nothing", f.ID)
		}
	}
	if got := strings.Join(ids, " "); code != 1 || out.Clean || got != "goal_class/row13/9 total/row26/power_play_goals score/row20/score" {
		t.Errorf("ended with %d, %s", code, got)
	}
}

func TestCheckOfWhatCannotBeRead(t *testing.T) {
	for name, test := range map[string]struct {
		arguments []string
		want      string
	}{
		"missing":     {[]string{"check", "no-such-file.csv"}, "no-such-file.csv cannot be read"},
		"no division": {[]string{"check", typedSheet}, "--division"},
		"no such":     {[]string{"check", typedSheet, "--division", "harbour-u99"}, "harbour-u99"},
		"a formula": {
			[]string{"check", written(t, "sheet.csv", "what,team,period,time,number\ngoal,home,1,1:00,=B2\n"), "--division", "harbour-u14"},
			`sheet.csv, row 2, column "number": "=B2" is a formula`,
		},
		"a broken ledger": {[]string{"check", written(t, "game.jsonl", "{\"specversion\":\"1.0\"}\n")}, "game.jsonl cannot be read"},
		"too big":         {[]string{"check", written(t, "big.csv", strings.Repeat("x", 10<<20+1))}, "1 MB"},
	} {
		printed, failed, code := ended(t, test.arguments...)
		if code != 2 || printed != "" || !strings.Contains(failed, test.want) {
			t.Errorf("%s: %d, %q, %q", name, code, printed, failed)
		}
	}
}

// TestRosterOfSeveralSheets reads the sheet with the players, and names the other
// one that has some.
func TestRosterOfSeveralSheets(t *testing.T) {
	f := excelize.NewFile()
	for _, sheet := range []string{"Visitors", "Home"} {
		if _, err := f.NewSheet(sheet); err != nil {
			t.Fatal(err)
		}
	}
	for cell, text := range map[string]any{
		"Sheet1!A1": "Harbour League", "Visitors!A1": "Number", "Visitors!B1": "Name", "Visitors!A2": 9, "Visitors!B2": "Freya Lundmoor",
		"Home!A1": "Kelp Bay - Team Roster", "Home!A2": "Number", "Home!B2": "Name", "Home!A3": 12, "Home!B3": "Maren Holt",
		"Home!A4": 7, "Home!B4": "Kit Rowan",
	} {
		sheet, at, _ := strings.Cut(cell, "!")
		if err := f.SetCellValue(sheet, at, text); err != nil {
			t.Fatal(err)
		}
	}
	var raw bytes.Buffer
	if err := f.Write(&raw); err != nil {
		t.Fatal(err)
	}
	sheet := readRoster(raw.Bytes())
	if sheet.Team.Name != "Kelp Bay" || len(sheet.Team.Players) != 2 {
		t.Errorf("%+v", sheet.Team)
	}
	if said := fmt.Sprint(sheet.Findings); !strings.Contains(said, "roster.other_sheet") || !strings.Contains(said, "Visitors") {
		t.Errorf("%s", said)
	}
}
