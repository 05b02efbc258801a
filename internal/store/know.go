package store

import (
	"fmt"

	"whistlestop/game/entry"
)

// know gives an entry its texts. A text that is not what was committed to, or of
// which nothing is known any more, is damage.
func (b Beside) know(e entry.Entry) (entry.Entry, error) {
	var bad error
	known := entry.Know(e, func(_ entry.Text, commitment string) (entry.Name, bool) {
		name, there := b[commitment]
		switch {
		case !there:
			bad = fmt.Errorf("a text that lies beside it is lost")
		case name.Text == "" && name.Random == "":
			return name, false
		case !name.Valid() || name.Commitment != commitment:
			bad = fmt.Errorf("a text that lies beside it is not the one that was written")
		}
		return name, there
	})
	return known, bad
}
