package sqlite_test

import (
	"errors"
	"path/filepath"
	"testing"

	"whistlestop/internal/hub/hubtest"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/sqlite"
	"whistlestop/internal/store"
)

func open(t testing.TB, folder string) *sqlite.Store {
	t.Helper()
	s, err := sqlite.Open(t.Context(), folder)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestSuite(t *testing.T) {
	hubtest.Run(t, func(t *testing.T) hubtest.Store { return open(t, t.TempDir()) })
}

// A copy of a hub that is in use has all that was there, and a hub that is started
// from it goes on; where a file is already, nothing is written.
func TestBackUpAndGoOn(t *testing.T) {
	folder, target := t.TempDir(), t.TempDir()
	s := open(t, folder)
	lines := hubtest.Chain("a", nil, 9)
	note := ledgers.Note{At: 1, Who: "test", What: "founded"}
	if err := s.Found(t.Context(), office.Association{ID: hubtest.Ours, Name: "Harbour League", Made: 1}, note); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Append(t.Context(), hubtest.At, 1, lines[:5], 7); err != nil {
		t.Fatal(err)
	}
	if _, err := sqlite.Open(t.Context(), folder); !errors.Is(err, store.ErrInUse) {
		t.Errorf("opened twice: %v", err)
	}
	beside, err := sqlite.OpenBeside(t.Context(), folder)
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(target, sqlite.File)
	if err := beside.BackUp(t.Context(), file); err != nil {
		t.Fatal(err)
	}
	if err := beside.BackUp(t.Context(), file); err == nil {
		t.Error("a copy was written over another one")
	}
	if err := errors.Join(beside.Close(), s.Close()); err != nil {
		t.Fatal(err)
	}
	again := open(t, target)
	defer func() {
		if err := again.Close(); err != nil {
			t.Error(err)
		}
	}()
	if err := again.Check(t.Context()); err != nil {
		t.Error(err)
	}
	head, err := again.Append(t.Context(), hubtest.At, 1, lines[5:], 7)
	if err != nil || head.Seq != 9 {
		t.Errorf("%+v, %v", head, err)
	}
	if _, err := sqlite.OpenBeside(t.Context(), t.TempDir()); err == nil {
		t.Error("a hub that is not there was opened")
	}
}
