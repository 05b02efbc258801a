package bench

import (
	"context"
	"slices"

	"whistlestop/game/entry"
	"whistlestop/record/person"
)

// Withdrawer makes and signs what a ledger says about texts that were taken out.
type Withdrawer interface {
	Withdrawal(texts []string, lines []entry.Entry) (entry.Withdrawn, error)
	SignWithdrawal(e entry.Entry) (entry.Entry, error)
}

// Forgets is a Log that texts can be taken out of, all or nothing: those of the
// commitments, and those inside older lines, by lines that take their place. It
// appends the entries that say so.
type Forgets interface {
	Forget(ctx context.Context, game string, commitments []string, lines, entries []entry.Entry) error
}

// Gone is what was taken out of a game, as ids: it says nothing about anybody, and
// can be kept when everything else is gone.
type Gone struct {
	Texts  []string         `json:"texts"`            // commitments
	Places map[string][]int `json:"places,omitempty"` // of texts inside older lines, by the entry
}

// empty reports whether nothing was taken out.
func (o Gone) empty() bool { return len(o.Texts) == 0 && len(o.Places) == 0 }

// Taken is what was taken out of a game, or would be.
type Taken struct {
	Game  string `json:"game"`
	Title Title  `json:"title"`
	Texts int    `json:"texts"` // places where the person is named
	Gone  Gone   `json:"-"`
}

// Mentions says in how many places of a game a person is named.
func (b *Bench) Mentions(ctx context.Context, id string, who person.Person) (Taken, error) {
	g, err := b.game(ctx, id)
	if err != nil {
		return Taken{}, err
	}
	return ask(ctx, g, func() (Taken, error) {
		if err := g.ready(); err != nil {
			return Taken{}, err
		}
		taken := Taken{Game: g.id, Title: titleOf(g.id, g.ledger, g.update.State).at(b.Now())}
		for _, e := range g.ledger {
			places, _ := who.Places(e)
			for _, place := range places {
				if place {
					taken.Texts++
				}
			}
		}
		return taken, nil
	})
}

// TakeOut takes a person's name out of a game. Note is told what goes, as ids,
// before anything does: after a power cut in between the act is finished by
// taking it out again.
func (b *Bench) TakeOut(ctx context.Context, id string, who person.Person, by Withdrawer, note func(Gone) error) (Taken, error) {
	taken, err := b.Mentions(ctx, id, who)
	if err != nil || taken.Texts == 0 {
		return taken, err
	}
	g, err := b.game(ctx, id)
	if err != nil {
		return taken, err
	}
	return ask(ctx, g, func() (Taken, error) {
		if err := g.ready(); err != nil {
			return taken, err
		}
		taken.Gone, err = g.takeOut(func(e entry.Entry) []bool {
			places, _ := who.Places(e)
			return places
		}, by, note)
		return taken, err
	})
}

// MindGone has the bench take out of a game what was taken out of it before, when
// it comes back with an older copy.
func (b *Bench) MindGone(of func(game string) Gone, by func() (Withdrawer, error)) {
	b.again = func(g *game) error {
		gone := of(g.id)
		if gone.empty() {
			return nil
		}
		key, err := by()
		if err != nil {
			return problem(Unavailable, err, "bench.not_kept")
		}
		_, err = g.takeOut(gone.In, key, func(Gone) error { return nil })
		return err
	}
}

// TakeOutAgain takes out of a game what was taken out of it before, where it is
// back, as when somebody put an older database in place of the one that was here.
func (b *Bench) TakeOutAgain(ctx context.Context, id string) error {
	g, err := b.game(ctx, id)
	if err != nil || b.again == nil {
		return err
	}
	_, err = ask(ctx, g, func() (Gone, error) {
		if err := g.ready(); err != nil {
			return Gone{}, err
		}
		return Gone{}, b.again(g)
	})
	return err
}

// In says in which places of an entry a text is that was taken out once.
func (o Gone) In(e entry.Entry) []bool {
	var places []bool
	entry.MapTexts(e, func(_ entry.Text, text string) string {
		n := len(places)
		gone := text != "" && slices.Contains(o.Places[e.ID], n)
		if n < len(e.Apart) {
			gone = e.Apart[n].Random != "" && (gone || slices.Contains(o.Texts, e.Apart[n].Commitment))
		}
		places = append(places, gone)
		return text
	})
	return places
}

// takeOut takes out what is in the places, in one step of the log, and loads the
// game as it then is. The entry that says so is for the copies, which learn from
// it, and vouches for the lines that took the place of older ones.
func (g *game) takeOut(places func(entry.Entry) []bool, by Withdrawer, note func(Gone) error) (Gone, error) {
	log, can := g.bench.ledgers.(Forgets)
	hides, hidden := g.bench.ids.(Hides)
	if !can || !hidden {
		return Gone{}, problem(Faulty, nil, "bench.faulty")
	}
	gone := Gone{Places: map[string][]int{}}
	var lines []entry.Entry // that take the place of older ones now
	vouched := vouchedIn(g.ledger)
	var unvouched []entry.Entry
	for _, e := range g.ledger {
		if at := places(e); slices.Contains(at, true) {
			instead, err := entry.Withdraw(e, g.randomFor(hides))
			if err != nil {
				return gone, problem(Faulty, err, "bench.faulty")
			}
			if e.Apart == nil {
				lines = append(lines, instead)
			}
			gone.add(e, instead, at)
		}
		if e.Was != "" && !vouched[e.ID] {
			unvouched = append(unvouched, e)
		}
	}
	slices.Sort(gone.Texts)
	gone.Texts = slices.Compact(gone.Texts)
	if gone.empty() && len(unvouched) == 0 {
		return gone, nil
	}
	said, err := g.withdrawal(gone.Texts, append(slices.Clone(lines), unvouched...), by)
	if err != nil {
		return gone, problem(Faulty, err, "bench.faulty")
	}
	if err := note(gone); err != nil {
		return gone, problem(Unavailable, err, "bench.not_kept")
	}
	g.loaded = false
	if err := log.Forget(context.Background(), g.id, gone.Texts, lines, []entry.Entry{said}); err != nil {
		g.bench.logger.Error("take a name out of a game", "game", g.id, "error", err)
		return gone, problem(Unavailable, err, "bench.not_kept")
	}
	return gone, g.load()
}

// add notes what goes with the places of an entry that another one stands for.
func (gone *Gone) add(e, instead entry.Entry, at []bool) {
	for i, place := range at {
		if !place || i >= len(instead.Apart) || instead.Apart[i].Commitment == "" {
			continue
		}
		gone.Texts = append(gone.Texts, instead.Apart[i].Commitment)
		if e.Apart == nil || e.Was != "" {
			gone.Places[e.ID] = append(gone.Places[e.ID], i)
		}
	}
}

// vouchedIn are the entries whose lines a withdrawal of the ledger vouches for.
func vouchedIn(ledger []entry.Entry) map[string]bool {
	vouched := map[string]bool{}
	for _, e := range ledger {
		if w, is := e.Body.(entry.Withdrawn); is {
			for _, line := range w.Lines {
				vouched[line.Entry] = true
			}
		}
	}
	return vouched
}

// withdrawal is the next entry of the ledger, which says what was taken out.
func (g *game) withdrawal(texts []string, lines []entry.Entry, by Withdrawer) (entry.Entry, error) {
	body, err := by.Withdrawal(texts, lines)
	if err != nil {
		return entry.Entry{}, err
	}
	now := g.bench.Now()
	filled, _ := g.fill([]entry.Entry{{ID: g.bench.ids.New(now), Game: g.id, Wall: now, Seat: entry.Program, Body: body}})
	if err := Chain(g.ledger, filled); err != nil {
		return entry.Entry{}, err
	}
	return by.SignWithdrawal(filled[0])
}
