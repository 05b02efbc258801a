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
}

// Restore takes over what a copy of a game has and this bench has not. The chain
// of the copy is checked from its first entry. Nothing that is here is ever
// replaced: a copy that says something else is refused, and one that is shorter
// adds nothing. A clock that ran when the copy ended is doubted: the time of day
// of two computers is not the same, and nobody knows how long the game went on.
func (b *Bench) Restore(ctx context.Context, ledger []entry.Entry) (Restored, error) {
	if len(ledger) == 0 {
		return Restored{}, refuse("", "ledger", say("restore.empty"))
	}
	id := ledger[0].Game
	if !ValidGame(id) {
		return Restored{}, refuse(id, "id", say("bench.game_id"))
	}
	if err := entry.VerifyChain(ledger); err != nil {
		return Restored{}, refuse(id, "ledger", say("restore.broken", "why", err.Error()))
	}
	state, err := rules.Fold(ledger)
	if err != nil {
		return Restored{}, refuse(id, "ledger", say("restore.broken", "why", err.Error()))
	}
	if state.Game != id {
		return Restored{}, refuse(id, "ledger", say("restore.broken", "why", "the entries are of several games"))
	}
	g, err := b.goroutine(id)
	if err != nil {
		return Restored{}, err
	}
	return ask(ctx, g, func() (Restored, error) {
		if err := g.ready(); err != nil && !isKind(err, Missing) {
			return Restored{}, err
		}
		return g.restore(ledger, state)
	})
}

func (g *game) restore(ledger []entry.Entry, state rules.State) (Restored, error) {
	done := Restored{Game: g.id, Had: len(g.ledger), Copied: len(ledger)}
	for i := range min(len(ledger), len(g.ledger)) {
		mine, errMine := g.ledger[i].Hash()
		theirs, errTheirs := ledger[i].Hash()
		if errMine != nil || errTheirs != nil || mine != theirs {
			return done, &Problem{Kind: Conflict, Say: say("restore.differs", "number", strconv.Itoa(i+1),
				"here", strconv.Itoa(len(g.ledger)), "copied", strconv.Itoa(len(ledger)))}
		}
	}
	if len(ledger) > len(g.ledger) {
		more := slices.Clone(ledger[len(g.ledger):])
		done.Added = len(more)
		newest := ledger[len(ledger)-1].Wall
		g.bench.notBefore(newest)
		if state.Clock.Running {
			more = append(more, entry.Entry{
				ID: g.bench.ids.New(g.bench.Now()), Game: g.id, Seq: len(ledger) + 1,
				Wall: newest, Seat: entry.Program, At: where(state, newest),
				Body: entry.ClockDoubted{Elapsed: state.Clock.At(newest), Asleep: max(0, g.bench.Now()-newest)},
			})
		}
		if err := g.keep(more); err != nil {
			return done, err
		}
	}
	done.Title = titleOf(g.id, g.ledger, g.update.State)
	return done, nil
}
