package rules

import (
	"slices"

	"whistlestop/game/entry"
)

// Growing folds a ledger that grows, or several beginnings of one, each from where the
// fold before ended. Its entries need no hashes: whoever uses it says that an entry
// which was folded once does not change. The nought of it is ready. It is for one
// goroutine at a time.
type Growing struct {
	chain  []entry.Entry // with the entry before as Prev
	folded *Folded
}

// Fold gives what the function of this name gives for a ledger whose entries are those
// that were folded here before, or the first of them, or those and more.
func (g *Growing) Fold(ledger []entry.Entry) (State, error) {
	for _, e := range ledger[min(len(g.chain), len(ledger)):] {
		if len(g.chain) > 0 {
			e.Prev = g.chain[len(g.chain)-1].ID
		}
		g.chain = append(g.chain, e)
	}
	folded, err := FoldAfter(g.folded, g.chain[:len(ledger)])
	if err != nil {
		return State{}, err
	}
	g.folded = folded
	return folded.State, nil
}

// Copy goes on by itself from the same fold.
func (g *Growing) Copy() Growing {
	return Growing{chain: slices.Clone(g.chain), folded: g.folded}
}
