package bench

import (
	"context"
	"slices"
	"strconv"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// Restored is what came of taking a copy of a game.
type Restored struct {
	Game   string `json:"game"`
	Title  Title  `json:"title"`
	Had    int    `json:"had"`    // entries that were here before
	Added  int    `json:"added"`  // entries taken from the copy
	Copied int    `json:"copied"` // entries in the copy

	// Proposed is how many entries of the copy follow what is here and wait for a
	// person's decision: nothing shows that this bench wrote them.
	Proposed int `json:"proposed,omitempty"`

	// AfterSeal is how many entries of the copy follow a sealed report. They are
	// never taken.
	AfterSeal int `json:"after_seal,omitempty"`

	// Aside is the new name of a copy's file that people decided against: it is kept.
	Aside string `json:"aside,omitempty"`
}

// Taking says on whose word entries of a copy are taken.
type Taking struct {
	Own     int  // so many, from the first on, were written by this bench
	Decided bool // a person saw what the others are and decided
}

// Restore takes over what a copy of a game has and this bench has not. The copy
// is admitted like a post, from its first entry on. Nothing that is here is ever
// replaced: a copy that says something else is refused, and one that is shorter
// adds nothing. What follows the entries of a game that is here, and was not
// written by this bench, waits for a person; after a seal it is never taken. A
// clock that ran when the copy ended is doubted: the time of day of two computers
// is not the same, and nobody knows how long the game went on.
func (b *Bench) Restore(ctx context.Context, ledger []entry.Entry, word Taking) (Restored, error) {
	state, err := Admit(ledger)
	if err != nil {
		return Restored{}, err
	}
	id := ledger[0].Game
	g, err := b.goroutine(id)
	if err != nil {
		return Restored{}, err
	}
	return ask(ctx, g, func() (Restored, error) {
		if err := g.ready(); err != nil && !isKind(err, Missing) {
			return Restored{}, err
		}
		return g.restore(ledger, state, word)
	})
}

// agrees says where a ledger and the one that is here say something else.
func (g *game) agrees(ledger []entry.Entry) error {
	for i := range min(len(ledger), len(g.ledger)) {
		mine, errMine := g.ledger[i].Hash()
		theirs, errTheirs := ledger[i].Hash()
		if errMine != nil || errTheirs != nil || mine != theirs {
			return &Problem{Kind: Conflict, Say: say("restore.differs", "number", strconv.Itoa(i+1),
				"here", strconv.Itoa(len(g.ledger)), "copied", strconv.Itoa(len(ledger)))}
		}
	}
	return nil
}

func (g *game) restore(ledger []entry.Entry, state rules.State, word Taking) (Restored, error) {
	done := Restored{Game: g.id, Had: len(g.ledger), Copied: len(ledger)}
	if err := g.agrees(ledger); err != nil {
		return done, err
	}
	here := len(g.ledger)
	if own := max(here, word.Own); here > 0 && len(ledger) > own {
		sealed, rest := isSealed(ledger[:own]), len(ledger)-own
		switch {
		case sealed && own == here:
			return done, &Problem{Kind: Conflict, Say: say("restore.sealed", "count", strconv.Itoa(rest))}
		case sealed:
			done.AfterSeal = rest
		case !word.Decided:
			done.Proposed = rest
		}
		if sealed || !word.Decided {
			var err error
			if state, err = rules.Fold(ledger[:own]); err != nil {
				return done, problem(Faulty, err, "bench.faulty")
			}
			ledger = ledger[:own]
		}
	}
	// Of a game that is not here nothing else shows who wrote what.
	if from := unvouched(ledger); here == 0 && from < len(ledger) && from >= word.Own && !word.Decided {
		done.Proposed, done.Title = len(ledger)-from, titleOf(g.id, ledger, state).at(g.bench.Now())
		if from == 0 {
			return done, nil
		}
		var err error
		if state, err = rules.Fold(ledger[:from]); err != nil {
			return done, problem(Faulty, err, "bench.faulty")
		}
		ledger = ledger[:from]
	}
	if len(ledger) > len(g.ledger) {
		more := slices.Clone(ledger[len(g.ledger):])
		done.Added = len(more)
		newest := ledger[len(ledger)-1].Wall
		if state.Clock.Running {
			more = append(more, g.doubted(state, len(ledger)+1, newest, moved(state.Clock, newest, g.bench.Now())))
		}
		if err := g.keep(more); err != nil {
			return done, err
		}
		if again := g.bench.again; again != nil {
			if err := again(g); err != nil {
				return done, err
			}
		}
	}
	done.Title = titleOf(g.id, g.ledger, g.update.State).at(g.bench.Now())
	return done, nil
}
