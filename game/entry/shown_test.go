package entry_test

import (
	"testing"

	"whistlestop/game/entry"
)

// TestShown: what turns or hides writing is shown as a mark, all else as it is.
func TestShown(t *testing.T) {
	for text, want := range map[string]string{
		"Under 14 ø 雪\nb":      "Under 14 ø 雪\nb",
		"roster\u202excod.csv": "roster\ufffdxcod.csv",
		"a\x1b[2Jb\u200bc\x00": "a\ufffd[2Jb\ufffdc\ufffd",
		"bad\xffbytes":         "bad\ufffdbytes",
	} {
		if got := entry.Shown(text); got != want {
			t.Errorf("%q is shown as %q", text, got)
		}
	}
}
