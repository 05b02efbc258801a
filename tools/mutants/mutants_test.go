package main

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

// Every mutant that was written by hand fits the source as it is now.
func TestNamedMutantsFit(t *testing.T) {
	named, err := readNamed("../..", "named.txt")
	if err != nil {
		t.Fatal(err)
	}
	names := map[string]bool{}
	for _, m := range named {
		if names[m.Name] {
			t.Errorf("two mutants are called %q", m.Name)
		}
		names[m.Name] = true
		for _, each := range m.tests {
			if _, err := os.Stat(filepath.Join("../..", each.pkg)); err != nil {
				t.Errorf("%s: %v", m.Name, err)
			}
		}
	}
	if len(named) < 25 {
		t.Errorf("only %d mutants", len(named))
	}
}

// Every survivor that is left has a reason, and is about a file that is there.
func TestSurvivorsHaveReasons(t *testing.T) {
	known, err := readSurvivors("survivors.txt")
	if err != nil {
		t.Fatal(err)
	}
	for name, reason := range known {
		file, _, _ := strings.Cut(name, " ")
		if _, err := os.Stat(filepath.Join("../..", file)); err != nil || reason == "" {
			t.Errorf("%s: %q, %v", name, reason, err)
		}
	}
}

func TestBlocksThatAreRefused(t *testing.T) {
	root := t.TempDir()
	if err := os.WriteFile(filepath.Join(root, "a.go"), []byte("package a\n\nvar x = 1\nvar y = 1\nvar y = 1\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, block := range []string{
		"mutant m\nin a.go\n", "mutant m\n- var x = 1", "in a.go\n- var x = 1",
		"mutant m\nin a.go\n- var z = 1", "mutant m\nin a.go\n- var y = 1", "mutant m\nin b.go\n- var x = 1", "mutant m\nwhat\n",
	} {
		if m, err := readBlock(root, block); err == nil {
			t.Errorf("%q was taken as %+v", block, m)
		}
	}
	m, err := readBlock(root, "mutant m\nin a.go\n-   var x = 1\n+ var x = 2\n")
	if err != nil || string(m.text) != "package a\n\nvar x = 2\nvar y = 1\nvar y = 1\n" || m.Line != 3 {
		t.Errorf("%q on line %d, %v", m.text, m.Line, err)
	}
}

// module is a small module with one package.
func module(t *testing.T, source, test string) string {
	t.Helper()
	root := t.TempDir()
	for name, text := range map[string]string{
		"go.mod": "module example\n\ngo 1.26\n", "door/door.go": source, "door/door_test.go": test,
	} {
		path := filepath.Join(root, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return root
}

const source = `package door

import "errors"

const most = 64

var Opened int

func check(n int) error {
	if n > most {
		return errors.New("too many")
	}
	return nil
}

func Open(n int, locked bool) bool {
	if err := check(n); err != nil || locked {
		return false
	}
	Opened++
	return true
}
`

const test = `package door

import "testing"

func TestOpen(t *testing.T) {
	if !Open(1, false) || Open(65, false) || Open(1, true) {
		t.Fatal("wrong")
	}
}
`

// A mutant that a test notices is killed, and one that no test looks at survives.
func TestMutantsAreTried(t *testing.T) {
	if testing.Short() {
		t.Skip("builds a small module several times")
	}
	root := module(t, source, test)
	found, err := find(root, "door")
	if err != nil {
		t.Fatal(err)
	}
	shop := &workshop{root: root, folder: t.TempDir(), took: map[tests]time.Duration{}}
	want := map[string]outcome{
		"door/door.go check: no check n > most":                                          killed,
		"door/door.go check: swap > to >= in if n > most {":                              survived,
		"door/door.go Open: swap || to && in if err := check(n); err != nil || locked {": killed,
		"door/door.go Open: leave out check(n)":                                          killed,
		"door/door.go Open: swap ++ to -- in Opened++":                                   survived,
		"door/door.go -: change 64 to 128 in const most = 64":                            killed,
		"door/door.go -: change 64 to 32 in const most = 64":                             survived,
	}
	for name, how := range want {
		at := slices.IndexFunc(found, func(m mutant) bool { return m.Name == name })
		if at < 0 {
			t.Errorf("nothing is called %q", name)
			continue
		}
		got, err := shop.try(found[at])
		if err != nil || got.Outcome != how || how == killed && got.By != "door TestOpen" {
			t.Errorf("%s: %s by %q, %v", name, got.Outcome, got.By, err)
		}
	}
	if left, err := os.ReadFile(filepath.Join(root, "door", "door.go")); err != nil || string(left) != source {
		t.Error("the source was written")
	}
}
