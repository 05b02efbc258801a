package rules

import (
	"cmp"
	"slices"

	"whistlestop/game/entry"
)

// settled is an entry of the ledger as it counts now: with its newest
// amendment, or struck.
type settled struct {
	*entry.Entry
	body    entry.Body // as amended
	at      entry.At   // as amended
	struck  bool
	amended bool
	newest  int // place of the amendment that counts, plus one; 0: none

	rewritten uint64 // the numbers of the body that are written otherwise now, a bit each
}

// settle applies amendments and strikes. Both only ever point back, so going
// from the newest entry to the oldest each strike is known to count or not
// before what it strikes is looked at. An amendment or strike may name the
// amendment of an entry where it means the entry: amendments lead to the root.
// First is the place of the first entry in its ledger.
func settle(ledger []entry.Entry, first int) []settled {
	out := make([]settled, len(ledger))
	struck := make([]bool, len(ledger))
	change := make([]int, len(ledger)) // index of the newest amendment, plus one
	ids := places{ledger: ledger}
	for i := len(ledger) - 1; i >= 0; i-- {
		e := &ledger[i]
		out[i] = settled{Entry: e, body: e.Body, at: e.At, struck: struck[i]}
		if change[i] > 0 {
			newest := &ledger[change[i]-1]
			out[i].amended, out[i].newest = true, first+change[i]
			out[i].at = newest.At
			out[i].body = newest.Body.(entry.Amended).To
		}
		if struck[i] {
			continue
		}
		of, known := ids.before(i, e.Of)
		if !known {
			continue
		}
		switch b := e.Body.(type) {
		case entry.Struck:
			struck[of] = true
		case entry.Amended:
			root := of
			for {
				parent, ok := ids.before(root, ledger[root].Of)
				if _, isAmended := ledger[root].Body.(entry.Amended); !isAmended || !ok {
					break
				}
				root = parent
			}
			if change[root] == 0 && b.To.Kind() == ledger[root].Kind() {
				change[root] = i + 1
			}
		default: // the other entries say nothing here
		}
	}
	return out
}

// places finds entries by their ids. Few entries are about another in a game, and
// then looking is cheaper than an index; where many are, one is made.
type places struct {
	ledger []entry.Entry
	asked  int
	newest map[string]int
}

// lookMost is how many entries are looked for without an index.
const lookMost = 32

// before returns the newest entry with the id among those before a place.
func (p *places) before(place int, id string) (int, bool) {
	if id == "" {
		return 0, false
	}
	if p.asked++; p.asked == lookMost {
		p.newest = make(map[string]int, len(p.ledger))
		for i := range p.ledger {
			p.newest[p.ledger[i].ID] = i
		}
	}
	if p.newest != nil {
		at, known := p.newest[id]
		if !known || at < place {
			return at, known
		}
	}
	return placeOf(p.ledger[:place], id)
}

// placeOf finds an entry from the newest on: few entries are about another, and
// mostly about one that is not old.
func placeOf(ledger []entry.Entry, id string) (place int, found bool) {
	if id == "" {
		return 0, false
	}
	last := id[len(id)-1] // ids of a game begin alike, and differ at the end
	for i := len(ledger) - 1; i >= 0; i-- {
		if it := ledger[i].ID; len(it) == len(id) && it[len(it)-1] == last && it == id {
			return i, true
		}
	}
	return 0, false
}

// play is a goal or a call of the settled ledger at its moment.
type play struct {
	id    string
	seq   int
	place int
	seat  entry.Seat
	at    entry.At
	body  entry.Body
	warm  bool // before the first face-off
}

// inOrder lists the goals and calls that count, in the order of the game. Within
// a stoppage the order is the one put right by hand, then that of posting.
func (w *walked) inOrder() []play {
	out := slices.Clone(w.plays)
	entry.Arrange(out, func(a, b play) int {
		return cmp.Or(a.at.Compare(b.at), cmp.Compare(a.seq, b.seq))
	})
	return out
}
