package folder_test

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"whistlestop/internal/folder"
)

// thing is what a file of these tests holds: its first word is its id.
type thing struct {
	id  string
	bad error
}

func things(most int) folder.Kind[thing] {
	return folder.Kind[thing]{
		Large: "card_file.too_large", Same: "card_file.same_id", FilesMost: most,
		Read: func(name string, text []byte, unread error) thing {
			id, _, _ := strings.Cut(string(text), " ")
			if id == "" && unread == nil {
				unread = errors.New(name + " is empty")
			}
			return thing{id, unread}
		},
		Spoil: func(item thing, why error) thing { return thing{item.id, why} },
		ID: func(item thing) string {
			if item.bad != nil {
				return ""
			}
			return item.id
		},
	}
}

func listed(t *testing.T, f *folder.Folder[thing]) string {
	t.Helper()
	all, err := f.All()
	if err != nil {
		t.Fatal(err)
	}
	var list []string
	for _, item := range all {
		if item.bad != nil {
			item.id += "!"
		}
		list = append(list, item.id)
	}
	return strings.Join(list, " ")
}

// A thing is kept in the file that has it already, of two with one id the second
// cannot be used, and two that cannot be used are no two of one id.
func TestOneFileAThing(t *testing.T) {
	path := filepath.Join(t.TempDir(), "below", "things")
	f := folder.Of(path, things(0))
	if got := listed(t, f); got != "" {
		t.Errorf("a folder that is not there has %q", got)
	}
	for _, text := range []string{"north 1", "south 1", "north 2"} {
		id, _, _ := strings.Cut(text, " ")
		if err := f.Keep(id, []byte(text)); err != nil {
			t.Fatal(err)
		}
	}
	for name, text := range map[string]string{"z.toml": "north 3", "e1.toml": "", "e2.toml": "", "large.toml": strings.Repeat("x", folder.ReadMost+1), "notes.txt": "east"} {
		if err := os.WriteFile(filepath.Join(path, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if got := listed(t, f); got != "! ! ! north south north!" {
		t.Errorf("the folder has %q", got)
	}
	if text, err := os.ReadFile(filepath.Join(path, "north.toml")); err != nil || string(text) != "north 2" {
		t.Errorf("%q, %v", text, err)
	}
	all, err := f.All()
	if err != nil || !strings.Contains(all[5].bad.Error(), `file="z.toml" why="@card_file.same_id id=\"north\""`) || !strings.Contains(all[2].bad.Error(), `file="large.toml" why="@card_file.too_large"`) {
		t.Errorf("%+v, %v", all, err)
	}
	if got := listed(t, folder.Of(path, things(4))); got != "! ! ! north" {
		t.Errorf("of four files there are %q", got)
	}
}
