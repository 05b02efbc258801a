package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
)

// What the program of 25 November 2026 wrote; testdata/kept/README.md says what each
// file is.
const kept = "../../testdata/kept/2026-11-25"

func keptFile(t *testing.T, name string) []byte {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(kept, name))
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// facts are a JSON object without what only says which form it has.
func facts(t *testing.T, text []byte) map[string]any {
	t.Helper()
	var object map[string]any
	if err := json.Unmarshal(text, &object); err != nil {
		t.Fatalf("%v: %.200s", err, text)
	}
	delete(object, "$schema")
	delete(object, "version")
	return object
}

// The folder of an earlier program opens: the same games, to the byte, the seal
// good, its report with the same facts, its teams, card and sharing as they were.
func TestAKeptFolderOpens(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "bench")
	if err := os.CopyFS(folder, os.DirFS(filepath.Join(kept, "folder"))); err != nil {
		t.Fatal(err)
	}
	p := start(t, os.Args[0], "bench", "--data", folder, "--listen", "127.0.0.1:0")
	const game = "/api/games/01M8J7GVSZHKRAW82PBNJH4WDW"
	ledger := keptFile(t, "sealed.jsonl")
	if got := p.get(game + "/ledger.jsonl"); !bytes.Equal(got, ledger) {
		t.Errorf("the ledger is\n%s", got)
	}
	if got, want := facts(t, p.get(game+"/report.json")), facts(t, keptFile(t, "report.json")); !reflect.DeepEqual(got, want) {
		t.Errorf("the report is\n%v\nand was\n%v", got, want)
	}
	var verified struct {
		Entries int `json:"entries"`
		Seals   []struct {
			Fingerprint string `json:"fingerprint"`
		} `json:"seals"`
	}
	if raw := p.get(game + "/verify"); json.Unmarshal(raw, &verified) != nil || verified.Entries != 64 || len(verified.Seals) != 1 || verified.Seals[0].Fingerprint != "F84E 3HBM 86V1 AXDY" {
		t.Errorf("%s", raw)
	}
	for path, want := range map[string]string{"/api/teams": "Maren Holt", "/api/cards": `"saltworks"`, game + "/sharing": `"on":true`} {
		if got := p.get(path); !strings.Contains(string(got), want) {
			t.Errorf("%s: %s", path, got)
		}
	}
	p.kill()
	backup := filepath.Join(t.TempDir(), "all.jsonl")
	must(t, "backup", backup, "--data", folder)
	if got, err := os.ReadFile(backup); err != nil || !bytes.Equal(got, ledger) {
		t.Errorf("%v: the backup is\n%s", err, got)
	}
}

// A ledger that an earlier program exported is verified, restored and printed.
func TestAKeptLedgerIsUsable(t *testing.T) {
	file := filepath.Join(kept, "sealed.jsonl")
	if out := must(t, "verify", file); !strings.Contains(out, "All 64 entries are as they were written.") || !strings.Contains(out, "F84E 3HBM 86V1 AXDY") {
		t.Errorf("%s", out)
	}
	fresh := filepath.Join(t.TempDir(), "games")
	if out := must(t, "restore", file, "--data", fresh); !strings.Contains(out, "64 of 64 entries taken over") {
		t.Errorf("%s", out)
	}
	report := filepath.Join(t.TempDir(), "report.json")
	must(t, "report", file, "--out", report)
	written, err := os.ReadFile(report)
	if err != nil || !reflect.DeepEqual(facts(t, written), facts(t, keptFile(t, "report.json"))) {
		t.Errorf("%v: %s", err, written)
	}
	for _, name := range []string{"report.json", "report.csv"} {
		if out := must(t, "check", filepath.Join(kept, name), "--division", "harbour-u14"); out == "" {
			t.Errorf("%s is audited without a word", name)
		}
	}
}

// Scripts, their answers and divisions of an earlier program are read as they were.
func TestKeptScriptsAndDivisions(t *testing.T) {
	script := filepath.Join(kept, "standard.practice")
	if out := must(t, "practice", "script", script); out != string(keptFile(t, "standard.practice")) {
		t.Errorf("%s", out)
	}
	if out := must(t, "practice", "grade", script, filepath.Join(kept, "answer.jsonl")); !strings.HasPrefix(out, "100 of 100") {
		t.Errorf("%s", out)
	}
	if out := must(t, "divisions", filepath.Join(kept, "division.toml")); out == "" {
		t.Error("a kept division is checked without a word")
	}
	if out := must(t, "card", "check", filepath.Join(kept, "folder/cards/saltworks.toml")); out == "" {
		t.Error("a kept card is checked without a word")
	}
}
