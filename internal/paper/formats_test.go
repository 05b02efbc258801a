package paper_test

import (
	"bytes"
	"testing"

	"whistlestop/internal/locale"
	"whistlestop/internal/paper"
	"whistlestop/internal/proof/papertest"
)

// TestEveryFormatWrites: each format of the list writes a game, the same bytes
// twice, under a name and a media type of its own.
func TestEveryFormatWrites(t *testing.T) {
	ledger := papertest.Game(t)
	seen := map[string]bool{}
	for _, f := range paper.Formats {
		if found, known := paper.ByName(f.Name); !known || found.Media != f.Media || seen[f.Name] || seen[f.Media] {
			t.Errorf("%s with %s is not in the list once", f.Name, f.Media)
		}
		seen[f.Name], seen[f.Media] = true, true
		var first, second bytes.Buffer
		for _, out := range []*bytes.Buffer{&first, &second} {
			if err := f.Write(out, ledger, paper.Options{Paper: "a4", Picture: true, Words: locale.English()}); err != nil {
				t.Fatalf("%s: %v", f.Name, err)
			}
		}
		if first.Len() < 1000 || !bytes.Equal(first.Bytes(), second.Bytes()) {
			t.Errorf("%s: %d and %d bytes", f.Name, first.Len(), second.Len())
		}
	}
	if _, known := paper.ByName("doc"); known {
		t.Error("there is a format that is not in the list")
	}
}
