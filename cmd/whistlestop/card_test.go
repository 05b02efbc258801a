package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const demoCard = "../../internal/demo/cards/saltworks.toml"

func TestCardCheck(t *testing.T) {
	got, failed := command(t, "card", "check", demoCard)
	if failed != "" || got != "saltworks.toml can be used: Saltworks Arena, 19 steps for 15 happenings.\n" {
		t.Errorf("%q %q", got, failed)
	}
	text, err := os.ReadFile(demoCard)
	if err != nil {
		t.Fatal(err)
	}
	bad := filepath.Join(t.TempDir(), "bad.toml")
	if err := os.WriteFile(bad, bytes.Replace(text, []byte("penalty_lines"), []byte("lines"), 1), 0o600); err != nil {
		t.Fatal(err)
	}
	before, _, _ := bytes.Cut(text, []byte("penalty_lines"))
	want := fmt.Sprintf(`bad.toml, line %d: there is no setting "board.lines"`, 1+bytes.Count(before, []byte("\n")))
	if _, failed := command(t, "card", "check", bad); !strings.Contains(failed, want) {
		t.Errorf("%q", failed)
	}
	if _, failed := command(t, "card", "check", "nowhere.toml"); !strings.Contains(failed, "nowhere.toml cannot be read") {
		t.Errorf("%q", failed)
	}
}

func TestCardPrint(t *testing.T) {
	folder := t.TempDir()
	for _, paper := range []string{"a4", "letter"} {
		out := filepath.Join(folder, paper+".pdf")
		if got, failed := command(t, "card", "print", demoCard, "--paper", paper, "--out", out); failed != "" || got != out+" is written.\n" {
			t.Fatalf("%q %q", got, failed)
		}
		if page, err := os.ReadFile(out); err != nil || !bytes.HasPrefix(page, []byte("%PDF-")) {
			t.Errorf("%s: %v", paper, err)
		}
	}
	long := filepath.Join(folder, "long.toml")
	text := "id = \"long\"\nrink = \"Long\"\n[[steps]]\nwhen = \"goal\"\ndo = [" +
		strings.Repeat("\""+strings.Repeat("WWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWW ", 3)+"\",\n", 60) + "]\n"
	if err := os.WriteFile(long, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	for what, test := range map[string]struct {
		arguments []string
		says      string
	}{
		"a card that is too long":   {[]string{"check", long}, "does not fit on one page"},
		"printing it":               {[]string{"print", long, "--out", filepath.Join(folder, "x.pdf")}, "does not fit on one page"},
		"a folder that is not here": {[]string{"print", demoCard, "--out", filepath.Join(folder, "no", "x.pdf")}, "cannot be written"},
		"no card":                   {[]string{"print", "nowhere.toml", "--out", filepath.Join(folder, "x.pdf")}, "cannot be read"},
	} {
		if _, failed := command(t, append([]string{"card"}, test.arguments...)...); !strings.Contains(failed, test.says) {
			t.Errorf("%s: %q", what, failed)
		}
	}
}
