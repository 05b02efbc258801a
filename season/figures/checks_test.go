package figures_test

import (
	"fmt"
	"maps"
	"slices"
	"testing"
)

// score counts the checks that agree, by their kind: table, published, constructed,
// parameter. Whole seasons with a league's own marks are tables, printed definitions
// are published; a case may name its own kind.
type score struct{ right, all map[string]int }

func (s score) add(kind string, right, all int) {
	s.right[kind] += right
	s.all[kind] += all
}

// TestChecks holds the figures against printed definitions and whole seasons, and
// closes with how many lines agree.
func TestChecks(t *testing.T) {
	s := score{map[string]int{}, map[string]int{}}
	t.Run("definitions", func(t *testing.T) { definitions(t, s) })
	t.Run("open seasons", func(t *testing.T) { openSeasons(t, s) })
	right, all := 0, 0
	for _, kind := range slices.Sorted(maps.Keys(s.all)) {
		fmt.Printf("figures, %s: %d of %d lines\n", kind, s.right[kind], s.all[kind])
		right, all = right+s.right[kind], all+s.all[kind]
	}
	if all == 0 {
		t.Fatal("nothing was held")
	}
	fmt.Printf("figures: %d of %d lines\n", right, all)
}
