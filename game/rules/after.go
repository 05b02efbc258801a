package rules

import "whistlestop/game/entry"

// Folded is a ledger that was folded, with what helps to fold it again when it
// has grown. Nothing that can be read of it is changed by that; it is for one
// goroutine at a time.
type Folded struct {
	State State
	// Fresh lists the places of the lines that were worked out in this fold, in
	// order. All others are as they were in the fold before.
	Fresh []int

	walked *walked
	points []*walked // beginnings of it, oldest first
	made   []lineOf  // what each line was made of
	taken  *int      // how far the room for the lines is taken; nil: there is none
}

// lineOf is all that a line is made of, where nothing followed from its entry.
type lineOf struct {
	id, prev string
	newest   int32 // place of its amendment, plus one
	struck   bool
	target   target
	length   entry.Millis // of the clock that the line may speak of
	moment   Moment
	names    [2]string

	rewritten uint32
}

// line returns the line at a place if it was made of the same.
func (b *Folded) line(i int, of lineOf) *Line {
	if b == nil || i >= len(b.made) || b.made[i] != of || of.prev == "" && i > 0 {
		return nil // what is not chained yet may still change under the same id
	}
	if b.State.Lines[i].Kind == entry.KindGoal {
		return nil // it says the class of the goal, which any entry may change
	}
	return &b.State.Lines[i]
}

// FoldAfter folds a ledger of which a beginning was folded before, and gives
// what Fold gives. Before may be nil. Only what comes after that beginning is
// followed; the goals and calls of the game are played out anew each time,
// because any entry may change what follows from all of them. Where an older
// entry is amended or struck, what comes after it is followed again, and after a
// change of a roster or of a period's length everything. Where an entry says
// something else under its id, because a text was withdrawn, the fold before is of
// no use.
func FoldAfter(before *Folded, ledger []entry.Entry) (*Folded, error) {
	if len(ledger) == 0 {
		return nil, ErrNotOpened
	}
	f, err := foldOn(before, ledger, nil, true)
	if err != nil {
		return nil, err
	}
	return f.folded(), nil
}
