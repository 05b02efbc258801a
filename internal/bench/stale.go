package bench

import "whistlestop/game/entry"

// Stale is an edit of an entry that somebody else edited after the state that
// it was made from. Nothing was posted: people look at both and decide.
type Stale struct {
	Of     string      `json:"of"`     // the entry that both are about
	Yours  entry.Entry `json:"yours"`  // the draft
	Theirs entry.Entry `json:"theirs"` // the newest edit of it in the ledger
}

// stale returns the first edit among the drafts that the poster could not know
// to be out of date. What a device posted itself surprises nobody: it may send
// several edits that it made while it was alone.
func (g *game) stale(p Poster, drafts []entry.Entry) *Stale {
	if p.Saw <= 0 || p.Saw >= len(g.ledger) {
		return nil
	}
	lines := g.update.State.Lines
	for _, d := range drafts {
		if !edits(d.Kind()) {
			continue
		}
		for i := len(g.ledger) - 1; i >= p.Saw; i-- {
			theirs := g.ledger[i]
			own := p.Seat != "" && theirs.Seat == p.Seat && theirs.By == p.Name
			if edits(theirs.Kind()) && !own && lines[i].About() == g.root(d.Of) {
				return &Stale{Of: lines[i].About(), Yours: d, Theirs: theirs.Plain()}
			}
		}
	}
	return nil
}

// edits reports whether entries of the kind change another one.
func edits(k entry.Kind) bool { return k.Edits() }

// root is what an edit of the entry with the id is about in the end.
func (g *game) root(of string) string {
	if at, known := g.place[of]; known {
		return g.update.State.Lines[at].About()
	}
	return of
}

// about returns what an edit of the entry with the id is about: the entry at the
// root.
func (g *game) about(of string) entry.Entry {
	if at, known := g.place[g.root(of)]; known {
		return g.ledger[at]
	}
	return entry.Entry{}
}
