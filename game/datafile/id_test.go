package datafile_test

import (
	"regexp"
	"testing"

	"pgregory.net/rapid"

	"whistlestop/game/datafile"
)

// TestIDsAreOfTheirPattern: what is taken for an id is what the pattern says that
// stands in its place here.
func TestIDsAreOfTheirPattern(t *testing.T) {
	form := regexp.MustCompile(`^[a-z0-9][a-z0-9-]{0,39}$`)
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.OneOf(rapid.StringMatching(`[a-z0-9-]{0,42}`), rapid.StringN(0, 5, 45)).Draw(t, "text")
		if got, want := datafile.IsID(text, 40), form.MatchString(text); got != want {
			t.Fatalf("%q is an id: %v, by its pattern %v", text, got, want)
		}
	})
}
