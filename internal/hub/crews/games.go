package crews

import (
	"context"

	"whistlestop/game/entry"
	"whistlestop/internal/api"
	"whistlestop/internal/bench"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/live"
)

// Lines is where the lines of ledgers are read.
type Lines interface {
	Lines(ctx context.Context, at ledgers.Where, after, most int) ([]ledgers.Line, error)
}

// Games are the games of an association as its season knows a bench's: what benches sent,
// to be read and nothing else.
type Games struct {
	Association string
	Live        *live.Games
	Lines       Lines
}

// Games lists the games. One of which nothing may be shown is marked as damaged: it must
// not hide the others.
func (g Games) Games(ctx context.Context) ([]bench.Title, error) {
	list, err := g.Live.List(ctx)
	if err != nil {
		return nil, err
	}
	titles := make([]bench.Title, 0, len(list))
	for _, one := range list {
		t := bench.Title{
			ID: one.Game.ID, Home: one.Home, Visitors: one.Visitors, Division: one.Division, Number: one.Number, Date: one.Date,
			Opened: one.Opened, Seq: one.Game.Seq, Score: one.Score, Stage: one.Stage, Damaged: !one.Shown,
		}
		if t.Schedule, err = g.schedule(ctx, one.Game.ID); err != nil {
			return nil, err
		}
		titles = append(titles, t)
	}
	return titles, nil
}

// schedule is the game's id in the schedule; empty: it has none.
func (g Games) schedule(ctx context.Context, game string) (string, error) {
	lines, err := g.Lines.Lines(ctx, ledgers.Where{Association: g.Association, Game: game}, 0, 1)
	if err != nil || len(lines) == 0 {
		return "", err
	}
	first, err := ledgers.Entries(lines)
	if err != nil {
		return "", nil // its title says that it cannot be read
	}
	opening, _ := first[0].Body.(entry.GameOpened)
	return opening.Schedule, nil
}

// ledgerMost is more entries than a game has.
const ledgerMost = 20_000

// Ledger is the entries of a game.
func (g Games) Ledger(ctx context.Context, game string) ([]entry.Entry, error) {
	lines, err := g.Lines.Lines(ctx, ledgers.Where{Association: g.Association, Game: game}, 0, ledgerMost)
	if err != nil {
		return nil, err
	}
	return ledgers.Entries(lines)
}

// Open refuses: games are opened at benches.
func (Games) Open(context.Context, bench.Opening) (bench.Reply, error) {
	return bench.Reply{}, api.Refuse("hub.crew.bench_only")
}

// Post refuses for the same reason.
func (Games) Post(context.Context, string, []entry.Entry) (bench.Reply, error) {
	return bench.Reply{}, api.Refuse("hub.crew.bench_only")
}
