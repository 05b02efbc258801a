package script

import (
	"fmt"
	"slices"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
)

// Say is a sentence with what fills its gaps by name.
func Say(key string, pairs ...string) *rules.Say {
	return &rules.Say{Key: key, Args: rules.Pairs(pairs...)}
}

// StageArg names a stage as an argument of a sentence.
func StageArg(s entry.Stage) string {
	if s.Number == 0 || s.Number > 9 {
		return "@stage." + string(s.Kind)
	}
	return fmt.Sprintf("@stage.%s.%d", s.Kind, s.Number)
}

// PlayerArg names a player, or the bench.
func PlayerArg(j entry.Jersey, bench bool) string {
	if bench || j == "" {
		return "@player.bench"
	}
	return string(j)
}

// HasPrefix reports whether a key begins with one of a few words.
func HasPrefix(key string, prefixes ...string) bool {
	return slices.ContainsFunc(prefixes, func(p string) bool { return strings.HasPrefix(key, p) })
}

// LengthOf is how long a call is in a period: as it says, or as the division has it.
func LengthOf(d rulebook.Division, p entry.Penalty, period int) (sum entry.Millis) {
	for i, part := range p.Parts {
		if len(p.Lengths) > i {
			sum += p.Lengths[i]
		} else {
			sum += d.LengthOf(part, period > len(d.Periods))
		}
	}
	return sum
}
