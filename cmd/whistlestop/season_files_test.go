package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A season is put into the folder of the bench, saved with its games and taken over
// from there. With a mistake nothing is kept, and what is here already stays.
func TestTheSeasonOfABench(t *testing.T) {
	t.Parallel() // it waits most of its time
	data, elsewhere := filepath.Join(t.TempDir(), "games"), t.TempDir()
	made := filepath.Join(elsewhere, "schedule.json")
	must(t, "season", "schedule", leagueOfTests, "--out", made)
	text, err := os.ReadFile(leagueOfTests)
	if err != nil {
		t.Fatal(err)
	}
	wrong := filepath.Join(elsewhere, "wrong.toml")
	if err := os.WriteFile(wrong, []byte(strings.ReplaceAll(string(text), "millrace-u14", "millpond-u14")), 0o600); err != nil {
		t.Fatal(err)
	}
	if out, failed := runs(t, "season", "keep", wrong, made, "--data", data); !failed || !strings.Contains(out, "would not fit") {
		t.Errorf("%s", out)
	}
	if _, err := os.Stat(filepath.Join(data, "league")); !os.IsNotExist(err) {
		t.Errorf("something was kept: %v", err)
	}
	if out := must(t, "season", "keep", leagueOfTests, made, "--data", data); !strings.Contains(out, "Harbour League, 2026-27, is the season of this bench now") {
		t.Errorf("%s", out)
	}
	handed := `{"version":1,"games":{"u14-1":{"at_ms":1,"by_ms":2,"sha256":"ab","fingerprint":"cd","sealed":true,"ledger":"01J","receipt":"R 7"}}}`
	if err := os.WriteFile(filepath.Join(data, "league", "handed-in.json"), []byte(handed), 0o600); err != nil {
		t.Fatal(err)
	}
	p := played(t, data, t.TempDir())
	file, folder := filepath.Join(elsewhere, "all.jsonl"), t.TempDir()
	for _, target := range []string{file, folder} {
		must(t, "backup", target, "--data", data)
	}
	p.kill()
	for _, from := range []string{file, folder} {
		fresh := filepath.Join(t.TempDir(), "games")
		if out := must(t, "restore", from, "--data", fresh); !strings.Contains(out, "league.toml was taken over") || !strings.Contains(out, "schedule.json was taken over") {
			t.Errorf("%s", out)
		}
		if got, err := os.ReadFile(filepath.Join(fresh, "league", "league.toml")); string(got) != string(text) || err != nil {
			t.Errorf("%s: %v", from, err)
		}
		if got, err := os.ReadFile(filepath.Join(fresh, "league", "handed-in.json")); string(got) != handed || err != nil {
			t.Errorf("what was handed in, from %s: %q, %v", from, got, err)
		}
		own := filepath.Join(fresh, "league", "schedule.json")
		if err := os.WriteFile(own, []byte("{}"), 0o600); err != nil {
			t.Fatal(err)
		}
		if out := must(t, "restore", from, "--data", fresh); !strings.Contains(out, "Another schedule.json of the season is here already") {
			t.Errorf("%s", out)
		}
		if got, err := os.ReadFile(own); string(got) != "{}" || err != nil {
			t.Errorf("%s, %v", got, err)
		}
	}
}
