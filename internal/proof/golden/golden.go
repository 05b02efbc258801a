package golden

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write the files under testdata and the made parts of docs again")

// File compares with a file under testdata, or writes it.
func File(t testing.TB, name string, got []byte) {
	t.Helper()
	file := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		at := 0
		for at < min(len(got), len(want)) && got[at] == want[at] {
			at++
		}
		t.Errorf("%s differs from byte %d on: got …%.300s…, want …%.300s…; run with -update if that is meant",
			name, at, got[max(0, at-80):], want[max(0, at-80):])
	}
}

// Part compares the part of a page between two marks with what it should be,
// or writes it there with -update.
func Part(t testing.TB, page, part, want string) {
	t.Helper()
	file := "../../docs/" + page
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	begin, end := "<!-- made: "+part+" -->\n", "<!-- /made -->"
	before, rest, found := strings.Cut(string(text), begin)
	made, after, closed := strings.Cut(rest, end)
	if !found || !closed {
		t.Fatalf("%s has no part %q", file, part)
	}
	if made == want {
		return
	}
	if !*update {
		t.Errorf("%s: the part %q is out of date; run with -update:\n%s", file, part, want)
		return
	}
	if err := os.WriteFile(file, []byte(before+begin+want+end+after), 0o644); err != nil {
		t.Fatal(err)
	}
}
