package rulebook

import (
	"bytes"
	"encoding/json"
	"os"
	"path"
	"path/filepath"
	"testing"
)

// FuzzParseDivision: whatever is read is sound, and comes back from JSON as it
// was, for the ledger of a game carries the JSON. Nothing makes it panic.
func FuzzParseDivision(f *testing.F) {
	for _, name := range list("divisions") {
		f.Add(read(path.Join("divisions", name)))
	}
	files, err := filepath.Glob("testdata/variants/*.toml")
	if err != nil || len(files) == 0 {
		f.Fatal("no variants", err)
	}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(text)
	}
	f.Add([]byte(soundDivision))
	f.Fuzz(func(t *testing.T, text []byte) {
		d, err := ParseDivision(text, "fuzz.toml")
		if err != nil {
			return
		}
		if err := d.Validate(); err != nil {
			t.Fatalf("read and not sound: %v", err)
		}
		raw, err := json.Marshal(d)
		if err != nil {
			t.Fatal(err)
		}
		back, err := DivisionFromJSON(raw)
		if err != nil {
			t.Fatalf("%s does not come back: %v", raw, err)
		}
		again, err := json.Marshal(back)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(raw, again) {
			t.Errorf("became\n%s\nfrom\n%s", again, raw)
		}
	})
}
