package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
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
