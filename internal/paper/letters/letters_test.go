package letters_test

import (
	"slices"
	"testing"

	"whistlestop/internal/paper/letters"
)

func TestFilesOfAText(t *testing.T) {
	further, eastern := []string{letters.FurtherFile, letters.FurtherBoldFile}, []string{letters.EasternFile}
	for text, want := range map[string][]string{
		"Ben Hook, Ålesund ế": nil,
		"Ольга Жук":           further,
		"Ελένη":               further,
		"東京 ひかり 한별":           eastern,
		"Жук 東京 Жук":          append(slices.Clone(further), eastern...),
	} {
		if got := letters.Files(text); !slices.Equal(got, want) {
			t.Errorf("%s is in %q, wanted %q", text, got, want)
		}
	}
}
