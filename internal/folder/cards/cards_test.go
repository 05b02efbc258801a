package cards

import (
	"bytes"
	"image"
	"image/jpeg"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"whistlestop/game/card"
	"whistlestop/internal/locale"
)

func cardText(id, rink string) []byte {
	return []byte("id = \"" + id + "\"\nrink = \"" + rink + "\"\n[[steps]]\nwhen = \"goal\"\ndo = [\"{score}\"]\n")
}

func names(t *testing.T, f *Folder) string {
	t.Helper()
	files, err := f.All()
	if err != nil {
		t.Fatal(err)
	}
	var list []string
	for _, file := range files {
		if file.Bad != nil {
			list = append(list, file.Name+"!")
			continue
		}
		list = append(list, file.Name+"="+file.Card.Rink)
	}
	return strings.Join(list, " ")
}

func TestFolder(t *testing.T) {
	path := filepath.Join(t.TempDir(), "cards")
	ours := card.NewFile("ours.toml", cardText("ours", "Ours"))
	f := New(path, ours)
	if got := names(t, f); got != "ours.toml=Ours" {
		t.Errorf("an empty folder has %s", got)
	}
	keep := func(id, rink string) {
		t.Helper()
		if err := f.Keep(id, cardText(id, rink)); err != nil {
			t.Fatal(err)
		}
	}
	write := func(name string, text []byte) {
		t.Helper()
		if err := os.WriteFile(filepath.Join(path, name), text, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	keep("north", "North")
	keep("north", "North again")
	write("a-south.toml", cardText("south", "South"))
	keep("south", "South again")
	if got := names(t, f); got != "a-south.toml=South again north.toml=North again ours.toml=Ours" {
		t.Errorf("the folder has %s", got)
	}
	keep("ours", "Mine")
	write("bad.toml", []byte("id ="))
	write("twice.toml", cardText("north", "North"))
	write("large.toml", []byte(strings.Repeat("#", card.FileMost+1)))
	write("notes.txt", []byte("not a card"))
	if err := os.Mkdir(filepath.Join(path, "folder.toml"), 0o700); err != nil {
		t.Fatal(err)
	}
	want := "a-south.toml=South again bad.toml! large.toml! north.toml=North again ours.toml=Mine twice.toml!"
	if got := names(t, f); got != want {
		t.Errorf("the folder has %s", got)
	}
}

func TestFolderThatCannotBe(t *testing.T) {
	path := filepath.Join(t.TempDir(), "cards")
	if err := os.WriteFile(path, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	f := New(path)
	if _, err := f.All(); err == nil {
		t.Error("a file was listed")
	}
	if err := f.Keep("north", cardText("north", "North")); err == nil {
		t.Error("a card was kept in a file")
	}
}

// A file that is far too large for a card is named and not read, whatever it holds.
func TestAFileThatIsTooLarge(t *testing.T) {
	path := t.TempDir()
	large := append(cardText("large", "Large"), []byte(strings.Repeat("# nothing\n", card.FileMost/10+1))...)
	if err := os.WriteFile(filepath.Join(path, "large.toml"), large, 0o600); err != nil {
		t.Fatal(err)
	}
	files, err := New(path).All()
	if err != nil || len(files) != 1 || files[0].Bad == nil || !strings.Contains(locale.English().Error(files[0].Bad), "too large") {
		t.Errorf("%+v, %v", files, err)
	}
}

// photo is a picture made for a test.
func photo(t *testing.T) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := jpeg.Encode(&out, image.NewGray(image.Rect(0, 0, 64, 48)), nil); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

const marks = "[console]\nrows = [\"bell\"]\nmarks = [{ key = \"bell\", x = 1, y = 2, width = 30, height = 40 }]\n"

// The picture lies beside the card's text, in a file that any program shows, and
// goes when the card has none any more.
func TestAPictureLiesBesideItsCard(t *testing.T) {
	path := filepath.Join(t.TempDir(), "cards")
	f := New(path)
	text := append(cardText("north", "North"), marks...)
	one := func() card.File {
		t.Helper()
		files, err := f.All()
		if err != nil || len(files) != 1 || files[0].Bad != nil {
			t.Fatalf("%d files, %v", len(files), err)
		}
		return files[0]
	}
	if err := f.Keep("north", card.Join(text, photo(t))); err != nil {
		t.Fatal(err)
	}
	beside, err := os.ReadFile(filepath.Join(path, "north.jpg"))
	if err != nil || !bytes.Equal(beside, photo(t)) {
		t.Fatalf("beside lie %d bytes, %v", len(beside), err)
	}
	if kept := one(); string(kept.Text) != string(text) || !bytes.Equal(kept.Card.Picture, beside) || !bytes.Equal(kept.Whole(), card.Join(text, beside)) {
		t.Errorf("kept %q with %d bytes", kept.Text, len(kept.Card.Picture))
	}
	// The text alone, mended by hand, leaves the picture.
	if err := f.Keep("north", text); err != nil {
		t.Fatal(err)
	}
	if one().Card.Picture == nil {
		t.Error("the picture is gone")
	}
	if err := f.Keep("north", cardText("north", "North")); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(filepath.Join(path, "north.jpg")); err == nil || one().Card.Picture != nil {
		t.Error("the picture is still there")
	}
	// Something else that lies there is named, and the card is used without it.
	for name, bad := range map[string][]byte{"page": []byte("<html>"), "large": make([]byte, card.PictureMost+1)} {
		if err := os.WriteFile(filepath.Join(path, "north.jpg"), bad, 0o600); err != nil {
			t.Fatal(err)
		}
		if kept := one(); kept.BadPicture == nil || kept.Card.Picture != nil {
			t.Errorf("%s: %v", name, kept.BadPicture)
		}
	}
}
