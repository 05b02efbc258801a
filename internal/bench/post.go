package bench

import (
	"context"
	"errors"
	"strconv"

	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/game/rules"
)

// post posts drafts on the game's goroutine.
func (g *game) post(ctx context.Context, drafts []entry.Entry, from Poster) (Reply, error) {
	return ask(ctx, g, func() (Reply, error) {
		if err := g.ready(); err != nil && !(isKind(err, Missing) && opens(drafts)) {
			return Reply{}, err
		}
		if err := g.refused.of(drafts); err != nil {
			return Reply{}, err
		}
		reply, err := g.accept(drafts, from)
		g.refused.note(drafts, err)
		return reply, err
	})
}

// accept posts drafts to a game that is ready, all or none.
func (g *game) accept(drafts []entry.Entry, from Poster) (Reply, error) {
	if err := g.settleHorn(drafts); err != nil {
		return Reply{}, err
	}
	fresh, err := g.fresh(drafts)
	if err != nil {
		return Reply{}, err
	}
	if err := g.allowed(fresh, from); err != nil {
		return Reply{}, err
	}
	if fresh, err = g.uncross(from, fresh); err != nil {
		return Reply{}, err
	}
	if err := g.room(from, fresh); err != nil {
		return Reply{}, err
	}
	var notes []rules.Say
	if len(fresh) > 0 {
		var filled []entry.Entry
		filled, notes = g.fill(fresh)
		g.keepApart(filled)
		if err := g.consider(filled); err != nil {
			return Reply{}, err
		}
	}
	reply := Reply{Update: g.current(), Notes: notes}
	for _, d := range drafts {
		reply.Posted = append(reply.Posted, d.ID)
	}
	return reply, nil
}

// consider keeps entries that were filled in, or says what the rules have
// against them. They are folded once, before they are written.
func (g *game) consider(filled []entry.Entry) error {
	if err := Chain(g.ledger, filled); err != nil {
		return problem(Faulty, err, "bench.faulty")
	}
	folded, refused := rules.Accept(g.folded, g.ledger, filled)
	if refused != nil {
		return &Problem{Kind: Refused, Say: say("bench.refused"), Refused: []rules.Refusal{*refused}}
	}
	return g.write(filled, folded)
}

// allowed refuses what the poster may not post, and edits that are out of date.
func (g *game) allowed(fresh []entry.Entry, from Poster) error {
	for _, d := range fresh {
		if why := from.forbids(d, g.about); why != nil {
			return refuse(d.ID, "type", *why)
		}
		if d.Kind().About().ByProgram {
			return refuse(d.ID, "type", say("bench.seal_by_hand"))
		}
	}
	if old := g.stale(from, fresh); old != nil {
		return &Problem{Kind: Outdated, Say: say("bench.stale"), Stale: old}
	}
	return nil
}

func opens(drafts []entry.Entry) bool {
	return len(drafts) == 1 && drafts[0].Kind() == entry.KindGameOpened
}

// preview says what drafts would do. It is asked for at every key, so it never
// writes: also not the stop of a clock that has just run out.
func (g *game) preview(drafts []entry.Entry) (Considered, error) {
	fresh, err := g.fresh(drafts)
	if err != nil {
		return Considered{}, err
	}
	filled, notes := g.fill(fresh)
	preview := rules.ConsiderAfter(g.folded, g.ledger, filled, g.bench.Now())
	preview.Warnings = append(preview.Warnings, notes...)
	return Considered{Preview: preview, Now: g.update}, nil
}

// Considered is what drafts would do, with the game as it is.
type Considered struct {
	rules.Preview
	Now Update
}

// Update is the game as it would be, written by going on from how it is.
func (c Considered) Update() (Update, error) {
	return updateOf(c.Now.Doc, c.State, c.Fresh)
}

func (g *game) fill(drafts []entry.Entry) ([]entry.Entry, []rules.Say) {
	now := g.bench.Now()
	then := func(filled []entry.Entry) rules.State {
		return rules.ConsiderAfter(g.folded, g.ledger, filled, now).State
	}
	// Only this goroutine writes behind the ledger.
	return fillIn(g.ledger, g.update.State, drafts, now, then)
}

// fresh returns the drafts that are not in the ledger, and refuses what cannot
// be posted whatever the rules say.
func (g *game) fresh(drafts []entry.Entry) ([]entry.Entry, error) {
	if len(drafts) == 0 {
		return nil, refuse("", "entries", say("bench.nothing"))
	}
	if len(drafts) > draftsMost {
		return nil, refuse("", "entries", say("bench.too_many", "most", strconv.Itoa(draftsMost)))
	}
	seen := map[string]bool{}
	fresh := make([]entry.Entry, 0, len(drafts))
	for _, d := range drafts {
		if d.Game != g.id {
			g.bench.logger.Warn("an entry of another game was posted", "game", g.id, "entry", d.ID, "seat", d.Seat)
			return nil, refuse(d.ID, "source", say("bench.other_game"))
		}
		// Before the bench fills in what it knows better: a clock that cannot be
		// is a fault of the client, also where the bench would not look at it.
		if err := d.Validate(); err != nil {
			var bad *entry.Invalid
			field := ""
			if errors.As(err, &bad) {
				field = bad.Field
			}
			return nil, refuse(d.ID, field, say("refused.invalid", "detail", message.Inside(err)))
		}
		if refusal := badCard(d); refusal != nil {
			return nil, refusal
		}
		if d.Apart != nil || d.Was != "" {
			return nil, refuse(d.ID, "type", say("bench.not_plain"))
		}
		if d.Seat == entry.Program {
			return nil, refuse(d.ID, "seat", say("bench.program_seat"))
		}
		if seen[d.ID] {
			return nil, refuse(d.ID, "id", say("bench.twice"))
		}
		seen[d.ID] = true
		if at, known := g.place[d.ID]; known {
			if !same(d, g.ledger[at]) {
				g.bench.logger.Warn("an id was used again for something else", "game", g.id, "entry", d.ID, "seat", d.Seat)
				return nil, &Problem{
					Kind: Conflict, Say: say("bench.id_taken"),
					Refused: []rules.Refusal{{Entry: d.ID, Field: "id", Say: say("bench.id_taken")}},
				}
			}
			continue
		}
		fresh = append(fresh, d)
	}
	return fresh, nil
}

// settleHorn posts the stop of a clock that ran out before anything else is
// posted, except a stop: that one may have been touched in time.
func (g *game) settleHorn(drafts []entry.Entry) error {
	if len(drafts) > 0 && drafts[0].Body != nil && drafts[0].Kind() == entry.KindClockStopped {
		return nil
	}
	return g.stopIfOut(0)
}
