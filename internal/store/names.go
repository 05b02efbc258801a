package store

import (
	"fmt"

	"whistlestop/game/entry"
)

// Beside is what lies beside the ledger of a game: the text of every commitment,
// an empty one where it is not known or was taken out.
type Beside map[string]entry.Name

// Commitments returns what is to lie beside a ledger for the entries: a name for
// each commitment, once; without a text where the entries do not know it.
func Commitments(entries []entry.Entry) []entry.Name {
	var all []entry.Name
	seen := map[string]bool{}
	for _, e := range entries {
		known := e.Names()
		for _, kept := range e.Apart {
			if kept.Commitment == "" || seen[kept.Commitment] {
				continue
			}
			seen[kept.Commitment] = true
			name := entry.Name{Game: e.Game, Commitment: kept.Commitment}
			for _, one := range known {
				if one.Commitment == kept.Commitment {
					name = one
				}
			}
			all = append(all, name)
		}
	}
	return all
}

// Replacement returns the line of an entry that takes the place of an older one:
// of the very line whose hash it carries.
func Replacement(e entry.Entry, at func(seq int) (Line, bool)) (Line, error) {
	older, there := at(e.Seq)
	if !there || e.Was == "" || older.Hash != e.Was {
		return Line{}, fmt.Errorf("entry %s takes the place of another line than the one that is there: %w", e.ID, ErrMoved)
	}
	lines, err := Lines(e.Game, []entry.Entry{e})
	if err != nil {
		return Line{}, err
	}
	return lines[0], nil
}

// Replace puts entries in place of older ones among all lines of their game, which
// stand in their order from the first on.
func Replace(lines []Line, with []entry.Entry) error {
	for _, e := range with {
		line, err := Replacement(e, func(seq int) (Line, bool) {
			if seq < 1 || seq > len(lines) {
				return Line{}, false
			}
			return lines[seq-1], true
		})
		if err != nil {
			return err
		}
		lines[e.Seq-1] = line
	}
	return nil
}
