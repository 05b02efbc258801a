package leaguefiles_test

import (
	"os"
	"path/filepath"
	"testing"

	"whistlestop/internal/folder/leaguefiles"
)

func TestASeasonIsKeptInItsFolder(t *testing.T) {
	path := filepath.Join(t.TempDir(), "games", "league")
	f := leaguefiles.New(path)
	for what, read := range map[string]func() ([]byte, error){"league": f.League, "schedule": f.Schedule} {
		if text, err := read(); text != nil || err != nil {
			t.Errorf("there is a %s before one was kept: %q, %v", what, text, err)
		}
	}
	for _, text := range []string{"name = 1\n", "name = 2\n"} {
		if err := f.KeepLeague([]byte(text)); err != nil {
			t.Fatal(err)
		}
		if got, err := leaguefiles.New(path).League(); string(got) != text || err != nil {
			t.Errorf("%q was kept and %q is there, %v", text, got, err)
		}
	}
	if err := f.KeepSchedule([]byte("{}")); err != nil {
		t.Fatal(err)
	}
	if got, err := f.Schedule(); string(got) != "{}" || err != nil {
		t.Errorf("%q, %v", got, err)
	}
	if before, err := f.Read(leaguefiles.BeforeName); string(before) != "name = 1\n" || err != nil {
		t.Errorf("before it was changed it was %q, %v", before, err)
	}
	names, err := os.ReadDir(path)
	if err != nil || len(names) != 3 {
		t.Errorf("the folder has %v, %v", names, err)
	}
}

// What cannot be written leaves what was there, and says so.
func TestAFolderThatCannotBeIsSaid(t *testing.T) {
	path := filepath.Join(t.TempDir(), "league")
	if err := os.WriteFile(path, []byte("a file"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := leaguefiles.New(path).KeepLeague([]byte("x")); err == nil {
		t.Error("a league was kept in a file")
	}
	if text, err := os.ReadFile(path); string(text) != "a file" || err != nil {
		t.Errorf("%q, %v", text, err)
	}
}
