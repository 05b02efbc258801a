package copied_test

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"whistlestop/internal/hub/copied"
)

// written is a part with two tables.
func written(t testing.TB, folder string) {
	t.Helper()
	part, err := copied.Create(folder)
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"ledger_head", "entry"} {
		err := part.Table(name, []string{"association", "game"}, func(to io.Writer) (int64, error) {
			_, err := io.WriteString(to, strings.Repeat(name+"\tG1\n", 4000))
			return 4000, err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := part.Finish(copied.Manifest{Part: copied.Games, Taken: "now", Steps: 5, Heads: copied.Heads{Games: 1}}); err != nil {
		t.Fatal(err)
	}
}

func TestAPartIsReadAsItWasWritten(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "games")
	written(t, folder)
	m, err := copied.Check(folder)
	if err != nil || len(m.Tables) != 2 || m.Tables[0].Rows != 4000 || m.Steps != 5 || m.Heads.Games != 1 {
		t.Fatalf("%+v %v", m, err)
	}
	var rows bytes.Buffer
	if err := copied.Open(folder, m.Tables[1], func(from io.Reader) error { _, err := rows.ReadFrom(from); return err }); err != nil {
		t.Fatal(err)
	}
	if want := strings.Repeat("entry\tG1\n", 4000); rows.String() != want {
		t.Errorf("%d bytes, want %d", rows.Len(), len(want))
	}
	if _, err := copied.Create(folder); !errors.Is(err, fs.ErrExist) {
		t.Error(err)
	}
}

// Whatever byte of a part is another one, and whatever file is away, is found.
func TestDamageIsFound(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "games")
	written(t, folder)
	files, err := filepath.Glob(filepath.Join(folder, "*"))
	if err != nil || len(files) != 3 {
		t.Fatal(files, err)
	}
	for _, file := range files {
		whole, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		tried := [][]byte{nil, whole[:len(whole)-9], append(bytes.Clone(whole), "more"...)}
		if filepath.Ext(file) == ".gz" { // spaces in a manifest mean nothing
			for i := 0; i < len(whole); i += 5 {
				other := bytes.Clone(whole)
				other[i] ^= 0x10
				tried = append(tried, other)
			}
		}
		for i, other := range tried {
			if other == nil {
				err = os.Remove(file)
			} else {
				err = os.WriteFile(file, other, 0o600)
			}
			if err != nil {
				t.Fatal(err)
			}
			if _, err := copied.Check(folder); !errors.Is(err, copied.ErrDamaged) && !errors.Is(err, copied.ErrNone) {
				t.Errorf("%s, change %d: %v", filepath.Base(file), i, err)
			}
		}
		if err := os.WriteFile(file, whole, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	manifest := filepath.Join(folder, "MANIFEST.json")
	text, err := os.ReadFile(manifest)
	if err != nil {
		t.Fatal(err)
	}
	for was, is := range map[string]string{`"rows": 4000`: `"rows": 4001`, `"form": 1`: `"form": 2`, `"entry"`: `"entry; x"`} {
		if err := os.WriteFile(manifest, bytes.Replace(text, []byte(was), []byte(is), 1), 0o600); err != nil {
			t.Fatal(err)
		}
		if _, err := copied.Check(folder); !errors.Is(err, copied.ErrDamaged) && !errors.Is(err, copied.ErrNewer) {
			t.Errorf("%s: %v", is, err)
		}
	}
}

// A part that was not finished is not there, and is no hindrance for the next.
func TestAPartThatWasNotFinished(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "games")
	if _, err := copied.Create(folder); err != nil {
		t.Fatal(err)
	}
	if _, err := copied.Check(folder); !errors.Is(err, copied.ErrNone) {
		t.Error(err)
	}
	written(t, folder)
	if _, err := copied.Check(folder); err != nil {
		t.Error(err)
	}
}

func ExampleCheck() {
	_, err := copied.Check("nowhere")
	fmt.Println(err)
	// Output: there is no copy in nowhere
}
