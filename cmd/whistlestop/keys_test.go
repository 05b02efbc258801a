package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/folder/keyfile"
	"whistlestop/internal/folder/privatefile"
	"whistlestop/internal/proof/papertest"
	"whistlestop/record/seal"
)

// A key that is kept is listed, and verify says by it who sealed; the bench's own
// is known without being kept.
func TestKeysAreKeptAndListed(t *testing.T) {
	ledger := papertest.Game(t)
	file := exportOf(t, ledger)
	sealedWith := ledger[len(ledger)-1].Body.(entry.Sealed).Key
	short := seal.KeyName(sealedWith)
	folder := filepath.Join(t.TempDir(), "not", "made yet")
	says := func(arguments []string, want ...string) {
		t.Helper()
		printed, failed := command(t, append(arguments, "--data", folder)...)
		for _, each := range want {
			if !strings.Contains(printed, each) {
				t.Errorf("%q says no %q but %s", arguments, each, printed)
			}
		}
		if failed != "" {
			t.Errorf("%q fails: %s", arguments, failed)
		}
	}
	list, verify := []string{"keys", "list"}, []string{"verify", file}
	says(list, "no key yet")
	if _, err := os.Stat(folder); err == nil {
		t.Error("a list made a folder")
	}
	says(verify, short, "Nothing here says whose key that is")

	says([]string{"keys", "pin", " Saltworks Arena ", short}, short, "Saltworks Arena", "keys.toml")
	says(list, "Saltworks Arena: "+short)
	says(verify, short+", of Saltworks Arena")
	says([]string{"keys", "pin", "The league", sealedWith}, "The league")
	says(list, "Saltworks Arena: "+short, "The league: "+sealedWith)

	own, err := keyfile.New(privatefile.At(filepath.Join(folder, "bench-key.pem"))).Key()
	if err != nil {
		t.Fatal(err)
	}
	public := seal.Key(own).Public()
	says(list, "The bench of this computer: "+seal.KeyName(public)+" ("+public+")", "Saltworks Arena: "+short)
	sealer := seal.Key(own)
	body, err := sealer.Make(ledger[:len(ledger)-1], "")
	if err != nil {
		t.Fatal(err)
	}
	mine := append([]entry.Entry{}, ledger...)
	mine[len(mine)-1].Body = body
	if mine[len(mine)-1], err = sealer.Sign(mine[len(mine)-1]); err != nil {
		t.Fatal(err)
	}
	says([]string{"verify", exportOf(t, mine)}, seal.KeyName(public)+", of the bench of this computer")
}

// What is no key, or has nobody's name, is not kept; a list that cannot be read is
// named and stays as it is.
func TestKeysThatAreNotKept(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "keys.toml")
	const key = "0123 4567 89ab cdef"
	for _, one := range []struct{ name, key, why string }{
		{"Saltworks Arena", "hello", "is no key"},
		{"Saltworks Arena", "", "is no key"},
		{"  ", key, "whose key it is"},
		{strings.Repeat("x", 61), key, "at most 60"},
		{"Salt\u202eworks", key, "whose key it is"},
	} {
		if printed, failed := command(t, "keys", "pin", one.name, one.key, "--data", folder); printed != "" || !strings.Contains(failed, one.why) {
			t.Errorf("%q, %q: printed %q, failed %q", one.name, one.key, printed, failed)
		}
	}
	if _, err := os.Stat(path); err == nil {
		t.Error("something was kept")
	}
	if _, failed := command(t, "keys", "pin", strings.Repeat("x", 60), key, "--data", folder); failed != "" {
		t.Errorf("sixty characters: %s", failed)
	}
	for _, text := range []string{"[[key]]\nname = \"A\"\nkey = \"hello\"\n", "[[key]]\nname = \"\"\nkey = \"" + key + "\"\n", "key = ["} {
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		for _, arguments := range [][]string{{"keys", "list"}, {"keys", "pin", "B", key}} {
			if _, failed := command(t, append(arguments, "--data", folder)...); !strings.Contains(failed, "keys.toml") {
				t.Errorf("%q with %q: failed %q", arguments, text, failed)
			}
		}
		if left, err := os.ReadFile(path); err != nil || string(left) != text {
			t.Errorf("the list is now %q", left)
		}
	}
}
