package card

import (
	"regexp"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// TestGapsAreOfTheirPattern: the gaps that are found in a step are those of the
// pattern, whatever braces stand in it.
func TestGapsAreOfTheirPattern(t *testing.T) {
	form := regexp.MustCompile(`\{[^{}]*\}|[{}]`)
	rapid.Check(t, func(t *rapid.T) {
		step := rapid.StringMatching(`[ab{}]{0,14}`).Draw(t, "step")
		var got []string
		for gap, rest, found := nextGap(step); found; gap, rest, found = nextGap(rest) {
			got = append(got, gap)
		}
		if want := form.FindAllString(step, -1); !slices.Equal(got, want) {
			t.Fatalf("%q has the gaps %q, by the pattern %q", step, got, want)
		}
	})
}
