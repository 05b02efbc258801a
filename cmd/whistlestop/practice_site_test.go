package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"image"
	"image/jpeg"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"whistlestop/game/message"
	"whistlestop/internal/demo"
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
	if err := writeSite(first, folder, nil); err != nil {
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
		if err := writeSite(second, folder, nil); err != nil {
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
			err := writeSite(builtSite(t, map[string]string{"index.html": "two", "a.js": "new"}), folder, nil)
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
	if err := writeSite(builtSite(t, map[string]string{"index.html": "one"}), folder, nil); err != nil {
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

// What an association puts into its site is in a file that the browser keeps like the
// others, and a bad file stops the writing with its name.
func TestASiteWithAnAssociationsOwn(t *testing.T) {
	above := t.TempDir()
	with, out := filepath.Join(above, "ours"), filepath.Join(above, "site")
	cards := filepath.Join(with, "cards")
	if err := os.MkdirAll(cards, 0o700); err != nil {
		t.Fatal(err)
	}
	text := strings.Replace(string(demo.Card().Text), "Saltworks Arena\"", "Northmole Ice House\"", 1)
	var photo bytes.Buffer
	if err := jpeg.Encode(&photo, image.NewGray(image.Rect(0, 0, 64, 48)), nil); err != nil {
		t.Fatal(err)
	}
	put := func(name string, content []byte) {
		t.Helper()
		if err := os.WriteFile(filepath.Join(cards, name), content, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := ownFiles(with); err == nil || !strings.Contains(words{}.reason(err), "Nothing was written") {
		t.Errorf("an empty folder: %v", err)
	}
	put("north.toml", []byte(text))
	put("north.jpg", photo.Bytes())
	own, err := ownFiles(with)
	if err != nil {
		t.Fatal(err)
	}
	worker := func(sums map[string]string) string {
		raw, err := json.Marshal(map[string]any{"version": "one", "files": sums, "asked": map[string]string{}})
		if err != nil {
			t.Fatal(err)
		}
		return "const site = " + string(raw) + ";\nself.work()\n"
	}
	none := "globalThis.whistlestopOwn = null\n"
	built := builtSite(t, map[string]string{
		"index.html": "page", ownScript: none, workerScript: worker(map[string]string{"": sha256Hex([]byte("page")), ownScript: sha256Hex([]byte(none))}),
	})
	for range 2 { // the second time over the first
		if err := writeSite(built, out, own); err != nil {
			t.Fatal(err)
		}
	}
	read := func(name string) string {
		t.Helper()
		content, err := os.ReadFile(filepath.Join(out, name))
		if err != nil {
			t.Fatal(err)
		}
		return string(content)
	}
	script := read(ownScript)
	if !strings.Contains(script, "Northmole Ice House") || !strings.Contains(script, "#picture:") || strings.Contains(script, "extension 12") {
		t.Errorf("%.300s", script)
	}
	if kept := read(workerScript); !strings.Contains(kept, sha256Hex([]byte(script))) || strings.Contains(kept, `"version":"one"`) || !strings.HasSuffix(kept, ";\nself.work()\n") {
		t.Errorf("%s", kept)
	}
	var list siteFiles
	if err := json.Unmarshal([]byte(read(siteList)), &list); err != nil || list.Files[ownScript] != sha256Hex([]byte(script)) ||
		list.Files[workerScript] != sha256Hex([]byte(read(workerScript))) {
		t.Errorf("%+v, %v", list, err)
	}
	// Without its own again, the site is what was built.
	if err := writeSite(built, out, nil); err != nil || read(ownScript) != none {
		t.Errorf("%v, %s", err, read(ownScript))
	}
	put("north.jpg", []byte("<html>"))
	if _, err := ownFiles(with); err == nil || !strings.Contains(words{}.reason(err), "north.toml") {
		t.Errorf("a bad picture: %v", err)
	}
	put("bad.toml", []byte("id ="))
	if _, err := ownFiles(with); err == nil || !strings.Contains(words{}.reason(err), "bad.toml") {
		t.Errorf("a bad card: %v", err)
	}
}
