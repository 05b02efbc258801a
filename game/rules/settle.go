package rules

import (
	"cmp"

	"whistlestop/game/entry"
)

// settled is an entry of the ledger as it counts now: with its newest
// amendment, or struck.
type settled struct {
	*entry.Entry
	row    *entry.Row // of its kind
	body   entry.Body // as amended
	at     *entry.At  // as amended
	target target
	newest int32 // place of the amendment that counts, plus one; 0: none

	rewritten uint32 // the numbers of the body that are written otherwise now, a bit each
	struck    bool
}

// amended reports whether an amendment of the entry counts.
func (e *settled) amended() bool { return e.newest > 0 }

// target says which entry an edit is about in the end, and by which edits it is.
// This is the one place where edits are followed: everybody else asks a line.
type target struct {
	of, root        int32 // places of the entry that it names and of the one at the root, plus one; 0: there is none
	amends, strikes bool  // by way of an amendment, of a strike
}

// named is what an edit is about that names the entry at a place, which is itself
// about something where it is an edit.
func (t target) named(place int, kind entry.Kind) target {
	t.of = int32(place + 1)
	if !kind.Edits() {
		t.root = t.of
	}
	t.amends = t.amends || kind == entry.KindAmended
	t.strikes = t.strikes || kind == entry.KindStruck
	return t
}

// settle applies amendments and strikes. Both only ever point back, so going
// from the newest entry to the oldest each strike is known to count or not
// before what it strikes is looked at. An amendment or strike may name the
// amendment of an entry where it means the entry: amendments lead to the root.
// First is the place of the first entry in its ledger; made are the lines of the
// fold before, which know it of the entries that they have.
func settle(ledger []entry.Entry, first int, made []lineOf) []settled {
	out := make([]settled, len(ledger))
	ids := mentionedBy(ledger)
	for i := range ledger {
		e := &ledger[i]
		out[i].Entry, out[i].row = e, e.Kind().About()
		if place := first + i; place < len(made) {
			out[i].target = made[place].target
		} else if of, known := ids.before(e); known {
			out[i].target = out[of].target.named(first+of, ledger[of].Kind())
		}
		ids.pass(e, i)
	}
	for i := len(ledger) - 1; i >= 0; i-- {
		e, it := &ledger[i], &out[i]
		it.body, it.at = e.Body, &e.At
		if it.amended() {
			newest := &ledger[int(it.newest)-1-first]
			it.at, it.body = &newest.At, newest.Body.(entry.Amended).To
		}
		if it.struck {
			continue
		}
		// What was walked before is settled.
		of, root := int(it.target.of)-1-first, int(it.target.root)-1-first
		switch b := e.Body.(type) {
		case entry.Struck:
			if of >= 0 {
				out[of].struck = true
			}
		case entry.Amended:
			if root >= 0 && !it.target.strikes && out[root].newest == 0 && b.To.Kind() == ledger[root].Kind() {
				out[root].newest = int32(first + i + 1)
			}
		default: // the other entries say nothing here
		}
	}
	return out
}

// mentioned are the entries that edits are about, while a ledger is gone through from
// its oldest entry on.
type mentioned struct {
	seen map[string]int // by their ids, where each was seen last, or notSeen
	ends [256]bool      // how their ids end: those of a game begin alike
}

const notSeen = -1

// mentionedBy are the entries that the edits of a ledger name, none seen yet.
func mentionedBy(ledger []entry.Entry) *mentioned {
	m := &mentioned{seen: map[string]int{}}
	for i := range ledger {
		if e := &ledger[i]; e.Of != "" && e.Kind().Edits() {
			m.seen[e.Of], m.ends[end(e.Of)] = notSeen, true
		}
	}
	return m
}

// end is how an id ends.
func end(id string) byte {
	if len(id) < 2 {
		return 0
	}
	return id[len(id)-2]<<3 + id[len(id)-1]
}

// before returns where the entry was seen that an edit names.
func (m *mentioned) before(e *entry.Entry) (place int, seen bool) {
	if e.Of == "" || !e.Kind().Edits() {
		return 0, false
	}
	place = m.seen[e.Of]
	return place, place != notSeen
}

// pass goes by an entry.
func (m *mentioned) pass(e *entry.Entry, place int) {
	if !m.ends[end(e.ID)] {
		return
	}
	if _, is := m.seen[e.ID]; is {
		m.seen[e.ID] = place
	}
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
	nth   int // among the plays, in the order of posting
	seq   int
	place int
	seat  entry.Seat
	at    entry.At
	body  entry.Body
}

// inOrder lists the goals and calls that count, in the order of the game. Within
// a stoppage the order is the one put right by hand, then that of posting.
func (w *walked) inOrder() []*play {
	out := make([]*play, len(w.plays))
	for i := range w.plays {
		out[i] = &w.plays[i]
	}
	entry.Arrange(out, func(a, b *play) int {
		return cmp.Or(a.at.Compare(b.at), cmp.Compare(a.seq, b.seq))
	})
	return out
}
