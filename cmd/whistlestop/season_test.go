package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/record/report"
	"whistlestop/season/figures"
	"whistlestop/season/results"
)

// A folder with one finished game and one that is not over: the table counts the
// first and names the second.
func TestSeasonStandings(t *testing.T) {
	folder := t.TempDir()
	ledger, err := os.ReadFile(wholeLedger)
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.SplitAfter(string(ledger), "\n")
	for name, text := range map[string]string{"whole.jsonl": string(ledger), "begun.jsonl": strings.Join(lines[:20], "")} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	out := must(t, "season", "standings", folder)
	for _, want := range []string{"Left out, not finished: begun.jsonl", "Team", "Points"} {
		if !strings.Contains(out, want) {
			t.Errorf("%q is not in\n%s", want, out)
		}
	}
	if rows := strings.Count(out, "\n"); rows < 4 {
		t.Errorf("only %d lines:\n%s", rows, out)
	}
	for _, test := range []struct {
		arguments []string
		want      string
	}{
		{[]string{"season", "standings", t.TempDir()}, "no ledger of a finished game"},
		{[]string{"season", "standings", folder, "--procedure", "by-luck"}, "There is no procedure by-luck. Those that are ready: "},
		{[]string{"season", "standings", folder, "--division", "Nobody's"}, "no ledger of a finished game"},
	} {
		if out, failed := runs(t, test.arguments...); !failed || !strings.Contains(out, test.want) {
			t.Errorf("%v: %s", test.arguments, out)
		}
	}
}

// The figures of a folder with one game are those of its report.
func TestSeasonFigures(t *testing.T) {
	folder := t.TempDir()
	raw, err := os.ReadFile(wholeLedger)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(folder, "whole.jsonl"), raw, 0o600); err != nil {
		t.Fatal(err)
	}
	ledger, _, err := readGame(wholeLedger)
	if err != nil {
		t.Fatal(err)
	}
	document, err := report.Build(ledger, report.Options{})
	if err != nil {
		t.Fatal(err)
	}
	season := figures.New()
	season.Add(results.Figures(document))
	goals, assists, minutes := 0, 0, entry.Millis(0)
	for _, line := range season.Skaters() {
		goals, assists, minutes = goals+line.Goals, assists+line.Assists, minutes+entry.Millis(line.Minutes)*60_000
	}
	decided := map[string]int{}
	for _, line := range season.Keepers() {
		goals, assists, minutes = goals+line.Goals, assists+line.Assists, minutes+entry.Millis(line.Minutes)*60_000
		decided[string(line.Team)] += line.Wins + line.Losses + line.LateLosses + line.Draws
	}
	wantGoals, wantAssists, wantMinutes := 0, 0, entry.Millis(0)
	for _, side := range document.Totals.Sides {
		for _, player := range side.Players {
			if player.Number == "" {
				continue // a bench penalty is the team's
			}
			wantGoals, wantAssists, wantMinutes = wantGoals+player.Goals, wantAssists+player.Assists, wantMinutes+player.PenaltyMinutes
		}
	}
	if goals != wantGoals || assists != wantAssists || minutes != wantMinutes || goals == 0 {
		t.Errorf("%d goals, %d assists, %v of penalties; the report has %d, %d, %v", goals, assists, minutes, wantGoals, wantAssists, wantMinutes)
	}
	for _, roster := range document.Teams {
		if decided[roster.Name] != 1 {
			t.Errorf("%s has %d decisions of one game", roster.Name, decided[roster.Name])
		}
	}
	out := must(t, "season", "figures", folder)
	for _, want := range []string{"Player", "Goalkeeper", "Kelp Bay", "Lanternside"} {
		if !strings.Contains(out, want) {
			t.Errorf("%q is not in\n%s", want, out)
		}
	}
}

func TestSeasonRounds(t *testing.T) {
	out := must(t, "season", "rounds", "Kelp Bay", "Lanternside", "Millrace", "Northmole", "--twice")
	want := "Round,Home,Visitors\n1,Kelp Bay,Northmole\n1,Lanternside,Millrace\n"
	if !strings.HasPrefix(out, want) || strings.Count(out, "\n") != 1+12 {
		t.Errorf("printed\n%s", out)
	}
	if out, failed := runs(t, "season", "rounds", "Kelp Bay"); !failed || !strings.Contains(out, "takes 2 to 200 teams; 1") {
		t.Errorf("one team: %s", out)
	}
}

// The whole game has a major with a game misconduct: one game, owed, because no
// later game is in the folder (USA Hockey 404(b)).
func TestSeasonSuspended(t *testing.T) {
	folder := t.TempDir()
	raw, err := os.ReadFile(wholeLedger)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(folder, "whole.jsonl"), raw, 0o600); err != nil {
		t.Fatal(err)
	}
	out := must(t, "season", "suspended", folder)
	for _, want := range []string{
		"Lanternside, Player 3: games suspended: 1 (404(b)).",
		"Lanternside, Player 3: still owed after the last of these games: 1.",
		"only the league pronounces",
	} {
		if !strings.Contains(out, want) {
			t.Errorf("%q is not in\n%s", want, out)
		}
	}
	if out := must(t, "season", "suspended", folder, "--book", "iihf"); !strings.Contains(out, "No suspension follows") {
		t.Errorf("by a book that sets none:\n%s", out)
	}
	if out, failed := runs(t, "season", "suspended", folder, "--book", "nobody"); !failed || !strings.Contains(out, "There is no book nobody") {
		t.Errorf("an unknown book: %s", out)
	}
}
