package practice

import (
	"context"

	"whistlestop/game/entry"
	"whistlestop/internal/api"
	"whistlestop/internal/bench"
)

// games is the games of a room, as the API asks for them: the one of the practice
// under way.
type games struct{ room *Room }

// Now returns what the practice's clock shows.
func (g games) Now() entry.Millis { return g.room.now }

// Games lists the game.
func (g games) Games(ctx context.Context) ([]bench.Title, error) { return g.room.play.bench.Games(ctx) }

// State returns the game after everything that the clock brought about: nothing
// of a practice goes on by itself.
func (g games) State(ctx context.Context, game string) (bench.Update, error) {
	return g.room.play.bench.CatchUp(ctx, game)
}

// Ledger returns the ledger of the game.
func (g games) Ledger(ctx context.Context, game string) ([]entry.Entry, error) {
	return g.room.play.bench.Ledger(ctx, game)
}

// Preview says what drafts would do.
func (g games) Preview(ctx context.Context, game string, drafts []entry.Entry) (bench.Considered, error) {
	return g.room.play.bench.Preview(ctx, game, drafts)
}

// PostFrom posts what the learner enters.
func (g games) PostFrom(ctx context.Context, game string, drafts []entry.Entry, from bench.Poster) (bench.Reply, error) {
	return g.room.play.bench.PostFrom(ctx, game, drafts, from)
}

// learner is who asks: the bench's own computer, which may show any seat. Whoever
// practises a seat can do what the seat can, and is shown as it.
func (r *Room) learner() api.Caller {
	c := api.Caller{Here: true, Secure: true}
	if r.play != nil {
		c.Game = r.play.id
		if r.play.seat != entry.Solo {
			c.Seat = r.play.seat
		}
	}
	return c
}
