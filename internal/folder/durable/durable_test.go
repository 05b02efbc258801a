package durable_test

import (
	"errors"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"whistlestop/internal/folder/durable"
	"whistlestop/internal/proof/crashdisk"
)

// S13: the power is cut at every step of writing over an older file. The file is
// the old one or the new one; once it was said to be saved, it is the new one.
func TestWriteIsOldOrNew(t *testing.T) {
	const path = "/stick/games.jsonl"
	for step := 1; ; step++ {
		for seed := range uint64(20) {
			disk := crashdisk.New("/stick")
			if err := durable.Write(disk, path, []byte("the old content")); err != nil {
				t.Fatal(err)
			}
			disk.FailAt(step, crashdisk.PowerCut)
			err := durable.Write(disk, path, []byte("the new and longer content"))
			after, readErr := disk.Restarted(rand.New(rand.NewPCG(seed, 0))).Read(path)
			if readErr != nil {
				t.Fatalf("step %d, seed %d: %v", step, seed, readErr)
			}
			got := string(after)
			if got != "the new and longer content" && (err == nil || got != "the old content") {
				t.Fatalf("step %d, seed %d: said %v, and the file is %q", step, seed, err, got)
			}
			if disk.Steps() < step {
				if step < 5 {
					t.Fatalf("only %d steps: the test shows nothing", step)
				}
				return
			}
		}
	}
}

// The same where a file grows: what was said to be safe is there, and what comes
// after it is a beginning of what was written.
func TestExtendKeepsWhatIsThere(t *testing.T) {
	const path = "/stick/game.jsonl"
	for step := 1; step < 12; step++ {
		for seed := range uint64(20) {
			disk := crashdisk.New("/stick")
			disk.FailAt(step, crashdisk.PowerCut)
			safe, all := "", ""
			for _, piece := range []string{"one\n", "two\n", "three\n"} {
				all += piece
				if durable.Extend(disk, path, int64(len(safe)), []byte(piece)) != nil {
					break
				}
				safe = all
			}
			after, err := disk.Restarted(rand.New(rand.NewPCG(seed, 0))).Read(path)
			if err != nil && safe != "" {
				t.Fatalf("step %d, seed %d: %v", step, seed, err)
			}
			if got := string(after); len(got) < len(safe) || got != all[:len(got)] {
				t.Fatalf("step %d, seed %d: %q was safe, %q is there", step, seed, safe, got)
			}
		}
	}
}

func TestSystem(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "a", "b")
	if err := errors.Join(durable.MakeFolder(folder), durable.MakeFolder(folder)); err != nil {
		t.Fatal(err)
	}
	disk, path := durable.System(), filepath.Join(folder, "games")
	if _, err := disk.Read(path); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("read nothing: %v", err)
	}
	err := errors.Join(
		durable.Write(disk, path, []byte("one")), durable.Write(disk, path, []byte("two\n")),
		durable.Extend(disk, path, 4, []byte("three\n")), durable.Extend(disk, path+"2", 0, []byte("x")))
	if content, readErr := disk.Read(path); err != nil || readErr != nil || string(content) != "two\nthree\n" {
		t.Errorf("got %q, %v, %v", content, err, readErr)
	}
	if err := durable.Extend(disk, path, 4, []byte("x")); !errors.Is(err, durable.ErrChanged) {
		t.Errorf("extend in the middle: %v", err)
	}
	names, err := disk.Names(folder)
	if err != nil || len(names) != 2 {
		t.Errorf("names %v, %v", names, err)
	}
	info, err := os.Stat(path)
	if err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("%v, %v", info.Mode(), err)
	}
	if err := durable.MakeFolder(filepath.Join(path, "inside a file")); err == nil {
		t.Error("made a folder inside a file")
	}
	if _, err := disk.Device(path); err == nil {
		t.Error("a file was taken for a folder")
	}
}

// A step that fails once, and works the next time, is not forgotten: a file is not
// said to be safe when its sync failed, and the old one stays.
func TestAFailedWriteIsSaid(t *testing.T) {
	const path = "/stick/games.jsonl"
	for step := 1; step < 20; step++ {
		disk := crashdisk.New("/stick")
		if err := durable.Write(disk, path, []byte("the old content")); err != nil {
			t.Fatal(err)
		}
		disk.FailAt(step, crashdisk.Once)
		err := durable.Write(disk, path, []byte("the new and longer content"))
		if disk.Steps() < step {
			if step < 5 {
				t.Fatalf("only %d steps: the test shows nothing", step)
			}
			return
		}
		if err == nil {
			t.Errorf("step %d failed and nobody was told", step)
		}
		if now, err := disk.Read(path); err != nil || string(now) != "the old content" && string(now) != "the new and longer content" {
			t.Errorf("step %d failed, and the file is %q, %v", step, now, err)
		}
	}
}

// The largest file that is read is just that; one byte more is not read.
func TestTheLargestFileThatIsRead(t *testing.T) {
	path := filepath.Join(t.TempDir(), "large")
	for size, well := range map[int64]bool{durable.ReadMost: true, durable.ReadMost + 1: false} {
		if err := os.WriteFile(path, nil, 0o600); err != nil {
			t.Fatal(err)
		}
		if err := os.Truncate(path, size); err != nil {
			t.Fatal(err)
		}
		if content, err := durable.System().Read(path); (err == nil) != well || well && int64(len(content)) != size {
			t.Errorf("%d bytes: %d were read, %v", size, len(content), err)
		}
	}
}

// What is meant for others can be read by them, and is replaced as a whole too.
func TestPublicFilesAreForEverybody(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("SKIPPED: who may read a file is another matter there")
	}
	path := filepath.Join(t.TempDir(), "index.html")
	for _, text := range []string{"one", "two"} {
		if err := durable.Write(durable.Public(), path, []byte(text)); err != nil {
			t.Fatal(err)
		}
		info, err := os.Stat(path)
		if err != nil || info.Mode().Perm()&0o444 != 0o444 {
			t.Errorf("%v, %v", info.Mode(), err)
		}
		if got, err := durable.Public().Read(path); err != nil || string(got) != text {
			t.Errorf("%q, %v", got, err)
		}
	}
	if _, err := os.Stat(path + durable.New); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("something is left over: %v", err)
	}
}
