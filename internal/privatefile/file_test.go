package privatefile_test

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"whistlestop/internal/privatefile"
)

func TestWhatIsWrittenIsRead(t *testing.T) {
	path := filepath.Join(t.TempDir(), "seats.json")
	f := privatefile.At(path)
	if text, err := f.Read(); text != nil || err != nil {
		t.Fatalf("before: %q, %v", text, err)
	}
	for _, text := range []string{"first, which is longer", "second", ""} {
		if err := f.Write([]byte(text)); err != nil {
			t.Fatal(err)
		}
		if got, err := f.Read(); string(got) != text || err != nil {
			t.Errorf("%q, %v, want %q", got, err, text)
		}
	}
	info, err := os.Stat(path)
	if err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("others may read it: %v, %v", info.Mode(), err)
	}
	if left, err := os.ReadDir(filepath.Dir(path)); len(left) != 1 || err != nil {
		t.Errorf("left behind: %v, %v", left, err)
	}
}

func TestAFailedWriteLeavesTheOldFile(t *testing.T) {
	folder := t.TempDir()
	taken := filepath.Join(folder, "seats.json")
	if err := os.MkdirAll(filepath.Join(taken, "inside"), 0o700); err != nil {
		t.Fatal(err)
	}
	if err := privatefile.At(taken).Write([]byte("x")); err == nil {
		t.Error("a folder was replaced by a file")
	}
	if left, err := os.ReadDir(folder); len(left) != 1 || err != nil {
		t.Errorf("left behind: %v, %v", left, err)
	}
	if err := privatefile.At(filepath.Join(folder, "none", "x")).Write(nil); err == nil {
		t.Error("written into a folder that is not there")
	}
}

func TestWhatIsNotOursIsNotRead(t *testing.T) {
	folder := t.TempDir()
	large := filepath.Join(folder, "large")
	if err := os.WriteFile(large, bytes.Repeat([]byte("x"), 1<<20+1), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{large, folder} {
		if _, err := privatefile.At(path).Read(); err == nil {
			t.Errorf("%s was read", path)
		}
	}
}
