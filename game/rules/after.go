package rules

import "whistlestop/game/entry"

// Folded is a ledger that was folded, with what helps to fold it again when it
// has grown. It is not changed by that.
type Folded struct {
	State State
	// Fresh lists the places of the lines that were worked out in this fold, in
	// order. All others are as they were in the fold before.
	Fresh []int

	made []lineOf // what each line was made of
}

// lineOf is all that a line is made of, where nothing followed from its entry.
type lineOf struct {
	id, prev string
	newest   int // place of its amendment, plus one
	struck   bool
	length   entry.Millis // of the clock that the line may speak of
	moment   Moment
	names    [2]string

	rewritten uint64
}

// line returns the line at a place if it was made of the same.
func (f *Folded) line(i int, of lineOf) *Line {
	if f == nil || i >= len(f.made) || f.made[i] != of || of.prev == "" && i > 0 {
		return nil // what is not chained yet may still change under the same id
	}
	if f.State.Lines[i].Kind == entry.KindGoal {
		return nil // it says the class of the goal, which any entry may change
	}
	return &f.State.Lines[i]
}

// FoldAfter folds a ledger of which a beginning was folded before, and gives
// what Fold gives. Before may be nil. The game itself is played out anew each
// time, because any entry may change all of it; what is kept is the ledger in
// words, by far the most of a state.
func FoldAfter(before *Folded, ledger []entry.Entry) (*Folded, error) {
	if len(ledger) == 0 {
		return nil, ErrNotOpened
	}
	return fold(settle(ledger), before)
}
