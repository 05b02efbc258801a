package tidy

import (
	"os"
	"path"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// A newcomer reads a file in one sitting.
const linesMost = 500

// made marks a file that a generator writes.
const made = "do not edit"

func TestFilesAreShort(t *testing.T) {
	for _, name := range files(t, ".go", ".ts", ".mjs", ".svelte", ".css") {
		text := read(t, name)
		first, _, _ := strings.Cut(text, "\n")
		if lines := strings.Count(text, "\n"); lines > linesMost && !strings.Contains(first, made) {
			t.Errorf("%s has %d lines, more than %d: divide it by what it is about", name, lines, linesMost)
		}
	}
}

// marks are words of unfinished work, written in pieces so that this file does
// not find itself.
var marks = []string{
	"TO" + "DO", "FIX" + "ME", "XX" + "X", "not imple" + "mented", "lorem" + " ipsum", "place" + "holder",
}

func TestNothingIsLeftUnfinished(t *testing.T) {
	for _, name := range files(t, ".go", ".ts", ".mjs", ".svelte", ".css", ".toml", ".json", ".sql", ".html", ".md") {
		if path.Base(name) == "package-lock.json" {
			continue
		}
		for i, line := range strings.Split(read(t, name), "\n") {
			// The attribute and the style of a form's field have that name.
			line = strings.NewReplacer("place"+"holder=", "", "::place"+"holder", "").Replace(line)
			for _, mark := range marks {
				if strings.Contains(line, mark) {
					t.Errorf("%s:%d says %q", name, i+1, mark)
				}
			}
		}
	}
}

func TestEveryPackageSaysWhatItIs(t *testing.T) {
	has := map[string]bool{}
	for _, file := range goFiles(t) {
		if _, seen := has[file.folder]; !seen {
			has[file.folder] = false
		}
		if path.Base(file.path) != "doc.go" {
			continue
		}
		has[file.folder] = true
		if file.ast.Doc == nil {
			t.Errorf("%s has no package comment", file.path)
			continue
		}
		text := file.ast.Doc.Text()
		if !strings.Contains(text, "\n\t") {
			t.Errorf("%s has no example: indent one by a tab", file.path)
		}
	}
	for folder, found := range has {
		if !found {
			t.Errorf("package %s has no doc.go", folder)
		}
	}
}

// TestTestDataIsUsed finds files that no test reads any more. A file counts as
// used when a test beside its testdata folder names it, its folder, or a
// pattern with its ending.
func TestTestDataIsUsed(t *testing.T) {
	tests := map[string]string{} // folder of the package to the text of its tests
	for _, file := range goFiles(t) {
		if file.test {
			tests[file.folder] += read(t, file.path)
		}
	}
	for _, name := range files(t, "") {
		folder, inside, found := strings.Cut(name, "/testdata/")
		if !found || strings.Contains(name, "/testdata/fuzz/") || strings.HasPrefix(name, "tools/") {
			continue
		}
		text := tests[folder]
		used := strings.Contains(text, `"`+inside+`"`) || strings.Contains(text, "testdata/"+inside)
		for dir := path.Dir(inside); dir != "."; dir = path.Dir(dir) {
			used = used || strings.Contains(text, "testdata/"+dir)
		}
		used = used || strings.Contains(text, "testdata/*"+path.Ext(inside))
		if !used {
			t.Errorf("%s: no test of %s reads it", name, folder)
		}
	}
}

// link is a link or picture of a page that leads to a file here.
var link = regexp.MustCompile(`\]\(([^)#:\s]+)[^)]*\)`)

func TestLinksLeadSomewhere(t *testing.T) {
	for _, name := range files(t, ".md") {
		for _, found := range link.FindAllStringSubmatch(read(t, name), -1) {
			if _, err := os.Stat(filepath.Join(root, path.Dir(name), found[1])); err != nil {
				t.Errorf("%s leads to %s, which is not there", name, found[1])
			}
		}
	}
}
