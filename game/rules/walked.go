package rules

import (
	"maps"
	"slices"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
)

// walked is what is left of the beginning of a ledger once it was followed: all
// that a fold needs of those entries when more come after them. It holds until
// one of them is amended or struck.
type walked struct {
	count    int    // entries
	id, prev string // of the last of them
	code     *rulebook.Code
	state    State // what following them alone says of it
	begun    map[int]entry.StageBegun
	stops    []entry.At
	started  int             // place of the newest entry that began a stage or started the clock
	aside    map[string]bool // hold items set aside
	later    map[string]bool // owed items set aside until the next break
	kept     [2]entry.Jersey // who kept goal last
	seen     map[sideNumber]seated
	heard    []news                    // what was entered about goals, in the order of posting
	answers  map[string][]entry.Jersey // of the captains, by question
	spelling spelling

	withdrawn [2][]entry.Jersey // numbers of players whose name was taken out; everything is followed again when that changes
	plays     []play            // goals and calls that count, in the order of posting
	booked    []*settled        // what only the book keeps, in the order of posting
	faceOffs  []*settled        // the same, of which there may be many
	sealed    bool              // nothing of the report came after the newest seal
	card      bool              // a rink card is in use
	length    entry.Millis      // of the clock of the newest stage
}

// pointEvery is after how many entries what was walked is kept, to go on from
// there when something is amended that is not old.
const pointEvery = 256

// clone is a copy that may be walked on with.
func (w *walked) clone() walked {
	c := *w
	c.begun, c.stops = maps.Clone(w.begun), slices.Clone(w.stops)
	c.aside, c.later = maps.Clone(w.aside), maps.Clone(w.later)
	c.seen, c.heard, c.answers = maps.Clone(w.seen), slices.Clip(w.heard), maps.Clone(w.answers)
	for i := range c.spelling.written {
		c.spelling.written[i] = slices.Clone(w.spelling.written[i])
	}
	c.plays, c.booked, c.faceOffs = slices.Clip(w.plays), slices.Clip(w.booked), slices.Clip(w.faceOffs)
	return c
}

// list notes an entry that counts where it is played or kept in the book.
func (w *walked) list(e *settled) {
	switch e.row.Filed {
	case entry.AsPlay:
		w.plays = append(w.plays, play{id: e.ID, nth: len(w.plays), seq: e.Seq, place: w.count, seat: e.Seat, at: *e.at, body: e.body})
	case entry.InCount:
		w.faceOffs = append(w.faceOffs, e)
	case entry.InBook:
		w.booked = append(w.booked, e)
	case entry.NotFiled:
	}
}

// head notes the entry that was walked last.
func (w *walked) head(e *settled) { w.id, w.prev = e.ID, e.Prev }

// point keeps what was walked so far.
func (f *folding) point(e *settled) {
	kept := f.walked.clone()
	kept.head(e)
	f.points = append(slices.Clip(f.points), &kept)
}

// usable returns what was walked of the beginning of a ledger, as far as nothing
// after it changes it; nil: all has to be walked anew. The fold of a ledger that
// is not a beginning of this one is of no use, and whether it is says the chain.
func (b *Folded) usable(all posted) *walked {
	if b == nil || b.walked.prev == "" || b.walked.count >= all.len() {
		return nil // what is not chained yet may still change under the same id
	}
	if last := all.at(b.walked.count - 1); last.ID != b.walked.id || last.Prev != b.walked.prev {
		return nil
	}
	from := b.walked.count
	for i := b.walked.count; i < all.len(); i++ {
		from = min(from, b.changes(all, i))
	}
	if from == b.walked.count {
		return b.walked
	}
	for i := len(b.points) - 1; i >= 0; i-- {
		if b.points[i].count <= from {
			return b.points[i]
		}
	}
	return nil
}

// pointsUpTo are the points at which not more than so many entries were walked.
func (b *Folded) pointsUpTo(count int) []*walked {
	n := len(b.points)
	for n > 0 && b.points[n-1].count > count {
		n--
	}
	return b.points[:n]
}

// posted is a ledger with drafts behind it.
type posted struct {
	ledger, drafts []entry.Entry

	unused bool // the ids of the drafts were looked for already
}

func (p posted) len() int { return len(p.ledger) + len(p.drafts) }

func (p posted) at(place int) *entry.Entry {
	if n := len(p.ledger); place >= n {
		return &p.drafts[place-n]
	}
	return &p.ledger[place]
}

// from lists the entries from a place on.
func (p posted) from(place int) []entry.Entry {
	switch n := len(p.ledger); {
	case place >= n:
		return p.drafts[place-n:]
	case len(p.drafts) == 0:
		return p.ledger[place:]
	default:
		return slices.Concat(p.ledger[place:], p.drafts)
	}
}

// place finds an entry by its id.
func (p posted) place(id string) (int, bool) {
	if at, found := placeOf(p.drafts, id); found {
		return len(p.ledger) + at, true
	}
	return placeOf(p.ledger, id)
}

// before finds an entry by its id among those before a place: edits only point
// back.
func (p posted) before(place int, id string) (at int, e *entry.Entry, found bool) {
	if at, found = p.place(id); !found || at >= place {
		return 0, nil, false
	}
	return at, p.at(at), true
}

// changes returns the place of the oldest entry that reads otherwise because of
// one that came since: that one itself, or what it is about in the end. What it
// names that came since too was asked for itself. A roster says how the numbers of
// all entries are written.
func (b *Folded) changes(all posted, place int) int {
	e := all.at(place)
	if e.Kind().Edits() {
		if of, _, known := all.before(place, e.Of); known && of < b.walked.count {
			place = of
			if root := b.made[of].target.root; root > 0 {
				place = int(root) - 1
			}
			e = all.at(place)
		}
	}
	if k := e.Kind(); k == entry.KindRosterSet || k == entry.KindWithdrawn {
		return 0
	}
	return place
}

// sameSpans reports whether all moments are where they were.
func sameSpans(a, b []PeriodSpan) bool {
	return slices.EqualFunc(a, b, func(x, y PeriodSpan) bool { return x.Abs == y.Abs && x.Length == y.Length })
}
