package bench

import (
	"context"
	"slices"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// Sealer makes and signs seals. Make returns the seal of a ledger as it stands,
// with why something is still owed; Sign signs the entry of the seal once it has
// its place.
type Sealer interface {
	Make(ledger []entry.Entry, missing string) (entry.Sealed, error)
	Sign(e entry.Entry) (entry.Entry, error)
}

// Seal closes the report of a game: nothing comes between the entry that the seal
// was made over and the seal. A report is closed when the game is over and
// somebody signed; what is not there needs a reason. Closing what is closed
// already is refused, so that every version says something new.
func (b *Bench) Seal(ctx context.Context, id, missing string, from Poster, by Sealer) (Reply, entry.Entry, error) {
	g, err := b.game(ctx, id)
	if err != nil {
		return Reply{}, entry.Entry{}, err
	}
	var sealed entry.Entry
	reply, err := ask(ctx, g, func() (Reply, error) {
		if err := g.ready(); err != nil {
			return Reply{}, err
		}
		if why := unfit(g.update.State, missing); why != nil {
			return Reply{}, refuse(id, "missing", *why)
		}
		body, err := by.Make(g.ledger, strings.TrimSpace(missing))
		if err != nil {
			return Reply{}, problem(Faulty, err, "bench.faulty")
		}
		draft := entry.Entry{ID: b.ids.New(b.Now()), Game: id, Wall: b.Now(), Seat: entry.Solo, By: from.Name, Body: body}
		if from.Seat != "" {
			draft.Seat = from.Seat
		}
		filled, _ := g.fill([]entry.Entry{draft})
		g.keepApart(filled)
		if err := Chain(g.ledger, filled); err != nil {
			return Reply{}, problem(Faulty, err, "bench.faulty")
		}
		if filled[0], err = by.Sign(filled[0]); err != nil {
			return Reply{}, problem(Faulty, err, "bench.faulty")
		}
		if err := g.consider(filled); err != nil {
			return Reply{}, err
		}
		sealed = filled[0]
		return Reply{Update: g.current(), Posted: []string{draft.ID}}, nil
	})
	return reply, sealed, err
}

// unfit says why a report cannot be closed yet, and what to do, or nothing.
func unfit(s rules.State, missing string) *rules.Say {
	reason := strings.TrimSpace(missing) != ""
	why := rules.Say{}
	switch {
	case s.Stage.Kind != entry.Over:
		why = say("bench.seal_not_over")
	case s.Book.Sealed:
		why = say("bench.seal_done")
	case len(s.Book.Signatures) == 0 && !reason:
		why = say("bench.seal_unsigned")
	case slices.ContainsFunc(s.Owed, func(i rules.Item) bool { return i.Key != "reseal" }) && !reason:
		why = say("bench.seal_owed")
	default:
		return nil
	}
	return &why
}
