package privatefile_test

import (
	"bytes"
	"errors"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"whistlestop/internal/folder/durable"
	"whistlestop/internal/folder/privatefile"
	"whistlestop/internal/proof/crashdisk"
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

// The power is cut at every step of a Write: the file is the old one or the new
// one, and the new one once Write said so.
func TestAPowerCutLeavesTheOldFileOrTheNew(t *testing.T) {
	const path = "/games/seats.json"
	for step := 1; ; step++ {
		var steps int
		for seed := range uint64(20) {
			disk := crashdisk.New("/games")
			file := privatefile.On(disk, path)
			if err := file.Write([]byte("old")); err != nil {
				t.Fatal(err)
			}
			disk.FailAt(step, crashdisk.PowerCut)
			said := file.Write([]byte("the new one"))
			steps = disk.Steps()
			after, err := privatefile.On(disk.Restarted(rand.New(rand.NewPCG(seed, 0))), path).Read()
			if got := string(after); err != nil || got != "the new one" && (said == nil || got != "old") {
				t.Fatalf("step %d, seed %d: said %v, then %q, %v", step, seed, said, got, err)
			}
		}
		if steps < step {
			if step < 5 {
				t.Fatalf("only %d steps: the test shows nothing", step)
			}
			return
		}
	}
}

// cannotSync is a disk of a system whose folders cannot be synced.
type cannotSync struct {
	durable.Disk
	err error
}

func (d cannotSync) SyncFolder(string) error { return d.err }

func TestFoldersThatCannotBeSynced(t *testing.T) {
	for _, each := range []struct {
		err  error
		well bool
	}{{errors.ErrUnsupported, true}, {fs.ErrInvalid, true}, {fs.ErrPermission, true}, {crashdisk.ErrFails, false}} {
		disk := cannotSync{crashdisk.New("/games"), &fs.PathError{Op: "sync", Path: "/games", Err: each.err}}
		err := privatefile.On(disk, "/games/seats.json").Write([]byte("x"))
		if (err == nil) != each.well {
			t.Errorf("%v: %v", each.err, err)
		}
	}
}
