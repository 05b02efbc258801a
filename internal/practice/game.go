package practice

import (
	"context"
	"log/slog"

	"whistlestop/game/entry"
	"whistlestop/internal/api"
	"whistlestop/internal/bench"
	"whistlestop/internal/store/memory"
)

// games is the games of a room, as the API asks for them: the one of the practice
// under way, or the bench's own beside a console.
type games struct{ room *Room }

// table is a game with its bench.
type table struct {
	bench *bench.Bench
	id    string // of the game
	clock *toldClock
	seat  entry.Seat // whose screen is worked
}

// newTable opens the game that a ledger is of, at the instant that it has come to.
func newTable(ledger []entry.Entry, seat entry.Seat, now entry.Millis) (table, error) {
	t := table{id: ledger[0].Game, clock: &toldClock{}, seat: seat}
	t.clock.tell(now)
	ledgers := memory.New()
	if err := bench.Chain(nil, ledger); err != nil {
		return t, err
	}
	if err := ledgers.Append(context.Background(), t.id, ledger); err != nil {
		return t, err
	}
	t.bench = bench.New(ledgers, t.clock, &countedIDs{}, slog.New(slog.DiscardHandler))
	return t, nil
}

// table is the game that is there; nil: none.
func (r *Room) table() *table {
	if r.play != nil {
		return &r.play.table
	}
	return r.beside
}

// clear ends the game that is there.
func (r *Room) clear() {
	if t := r.table(); t != nil {
		t.bench.Close()
	}
	r.play, r.beside = nil, nil
}

// Now returns what the practice's clock shows.
func (g games) Now() entry.Millis { return g.room.now }

// Games lists the game.
func (g games) Games(ctx context.Context) ([]bench.Title, error) {
	return g.room.table().bench.Games(ctx)
}

// State returns the game after everything that the clock brought about: nothing
// of a practice goes on by itself.
func (g games) State(ctx context.Context, game string) (bench.Update, error) {
	return g.room.table().bench.CatchUp(ctx, game)
}

// Ledger returns the ledger of the game.
func (g games) Ledger(ctx context.Context, game string) ([]entry.Entry, error) {
	return g.room.table().bench.Ledger(ctx, game)
}

// Preview says what drafts would do.
func (g games) Preview(ctx context.Context, game string, drafts []entry.Entry) (bench.Considered, error) {
	return g.room.table().bench.Preview(ctx, game, drafts)
}

// PostFrom posts what the learner enters.
func (g games) PostFrom(ctx context.Context, game string, drafts []entry.Entry, from bench.Poster) (bench.Reply, error) {
	return g.room.table().bench.PostFrom(ctx, game, drafts, from)
}

// learner is who asks: the bench's own computer, which may show any seat. Whoever
// practises a seat can do what the seat can, and is shown as it.
func (r *Room) learner() api.Caller {
	c := api.Caller{Here: true, Secure: true}
	if t := r.table(); t != nil {
		c.Game = t.id
		if t.seat != entry.Solo {
			c.Seat = t.seat
		}
	}
	return c
}
