package main

import (
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"whistlestop/game/message"
)

// builtSite is a front end with the practice site as the bundler leaves it.
func builtSite(t *testing.T, files map[string]string) fstest.MapFS {
	t.Helper()
	list := siteFiles{Site: "whistlestop-practice", Files: map[string]string{}}
	built := fstest.MapFS{"index.html": {Data: []byte("the bench")}}
	for name, text := range files {
		built["practice/"+name] = &fstest.MapFile{Data: []byte(text)}
		list.Files[name] = sha256Hex([]byte(text))
	}
	raw, err := json.Marshal(list)
	if err != nil {
		t.Fatal(err)
	}
	built["practice/"+siteList] = &fstest.MapFile{Data: raw}
	return built
}

func TestPracticeSiteIsWrittenAndReplaced(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "some", "practice")
	first := builtSite(t, map[string]string{"index.html": "one", "fonts/a.woff2": "font", "left.js": "old", "touched.js": "old"})
	second := builtSite(t, map[string]string{"index.html": "two", "fonts/a.woff2": "font", "fonts/b.woff2": "new"})
	has := func(name, want string) {
		t.Helper()
		got, err := os.ReadFile(filepath.Join(folder, name))
		if want == "" && errors.Is(err, os.ErrNotExist) {
			return
		}
		if err != nil || string(got) != want {
			t.Errorf("%s holds %q, %v; want %q", name, got, err, want)
		}
	}
	if err := writeSite(first, folder); err != nil {
		t.Fatal(err)
	}
	has("index.html", "one")
	has("fonts/a.woff2", "font")
	if info, err := os.Stat(filepath.Join(folder, "index.html")); err != nil || info.Mode().Perm()&0o044 == 0 {
		t.Errorf("a web host cannot read the page: %v, %v", info.Mode(), err)
	}

	for name, text := range map[string]string{"touched.js": "changed by hand", "notes.txt": "mine"} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	for range 2 { // a second time changes nothing
		if err := writeSite(second, folder); err != nil {
			t.Fatal(err)
		}
		has("index.html", "two")
		has("fonts/b.woff2", "new")
		has("left.js", "")
		has("touched.js", "changed by hand")
		has("notes.txt", "mine")
	}
	if left, err := filepath.Glob(filepath.Join(folder, "*.new")); err != nil || len(left) != 0 {
		t.Errorf("left behind: %v, %v", left, err)
	}
}

func TestPracticeSiteLeavesForeignFilesAlone(t *testing.T) {
	for name, prepare := range map[string]map[string]string{
		"a page of somebody":            {"index.html": "my club"},
		"a list of somebody":            {"files.json": `{"site": "other"}`},
		"a page of the site, changed":   {"index.html": "one, changed", "files.json": `{"site":"whistlestop-practice","files":{"index.html":"` + sha256Hex([]byte("one")) + `"}}`},
		"a list that leads out of here": {"index.html": "x", "files.json": `{"site":"whistlestop-practice","files":{"../outside":"` + sha256Hex([]byte("outside")) + `"}}`},
	} {
		t.Run(name, func(t *testing.T) {
			above := t.TempDir()
			folder := filepath.Join(above, "site")
			if err := os.Mkdir(folder, 0o700); err != nil {
				t.Fatal(err)
			}
			prepare["../outside"] = "outside"
			for file, text := range prepare {
				if err := os.WriteFile(filepath.Join(folder, file), []byte(text), 0o600); err != nil {
					t.Fatal(err)
				}
			}
			err := writeSite(builtSite(t, map[string]string{"index.html": "two", "a.js": "new"}), folder)
			var said *message.Error
			if !errors.As(err, &said) || !strings.Contains(words{}.reason(err), folder) || !strings.Contains(words{}.reason(err), "Nothing was written") {
				t.Errorf("said %v", err)
			}
			for file, text := range prepare {
				if got, err := os.ReadFile(filepath.Join(folder, file)); err != nil || string(got) != text {
					t.Errorf("%s holds %q, %v", file, got, err)
				}
			}
			if _, err := os.Stat(filepath.Join(folder, "a.js")); !errors.Is(err, os.ErrNotExist) {
				t.Errorf("something was written: %v", err)
			}
		})
	}
}

// The list of an older site is a file that anybody may have written: nothing
// outside the folder goes by it.
func TestPracticeSiteRemovesNothingOutsideItsFolder(t *testing.T) {
	above := t.TempDir()
	outside, folder := filepath.Join(above, "outside"), filepath.Join(above, "site")
	if err := errors.Join(os.Mkdir(folder, 0o700), os.WriteFile(outside, []byte("outside"), 0o600),
		os.WriteFile(filepath.Join(folder, siteList),
			[]byte(`{"site":"whistlestop-practice","files":{"../outside":"`+sha256Hex([]byte("outside"))+`"}}`), 0o600)); err != nil {
		t.Fatal(err)
	}
	if err := writeSite(builtSite(t, map[string]string{"index.html": "one"}), folder); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(outside); err != nil {
		t.Error(err)
	}
}

func TestPracticeSiteByTheCommandLine(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "site")
	printed, failed := command(t, "practice", "--out", folder)
	built := failed == ""
	if _, err := os.Stat(filepath.Join(folder, "index.html")); (err == nil) != built {
		t.Errorf("printed %q, failed %q, page: %v", printed, failed, err)
	}
	if built && !strings.Contains(printed, folder) || !built && !strings.Contains(failed, "make build") {
		t.Errorf("printed %q, failed %q", printed, failed)
	}
	again := filepath.Join(t.TempDir(), "site")
	if _, failed := command(t, "site", "--out", again); (failed == "") != built {
		t.Errorf("by its own command: %q", failed)
	}
	if _, err := os.Stat(filepath.Join(again, "bench.rest")); (err == nil) != built {
		t.Errorf("the bench for real games: %v", err)
	}
	if _, failed := command(t, "practice"); !strings.Contains(failed, "--out") {
		t.Errorf("without a folder: %q", failed)
	}
	if printed, failed := command(t, "practice", "--help"); !strings.Contains(printed, "--out") || !strings.Contains(printed, "practice list") {
		t.Errorf("help: %q, %q", printed, failed)
	}
}
