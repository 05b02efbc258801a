package script

import (
	"slices"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// Position is where play stands by the clock's anchor.
func Position(s rules.State) entry.Millis {
	for _, span := range s.Periods {
		if span.Stage == s.Stage {
			return span.Abs + s.Clock.Elapsed
		}
	}
	return 0
}

// Occupied reports whether somebody sits in the box after a moment of play, or has to
// be seen leaving it.
func Occupied(s rules.State, after entry.Millis) bool {
	return slices.ContainsFunc(s.Terms, func(t rules.Term) bool {
		gone := t.End.Abs
		if t.Out != nil {
			gone = max(gone, t.Out.Abs)
		}
		return t.Ended != rules.Wiped && t.Ended != rules.NotServed && (gone >= after || t.Door == rules.NextWhistle)
	})
}
