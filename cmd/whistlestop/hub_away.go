package main

import (
	"context"
	"log/slog"

	"whistlestop/internal/hub/bus"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/live"
	"whistlestop/internal/hub/postgres"
)

// away reports whether what comes in here is not told to other hubs at the moment, or what
// comes in there not to this one.
func (n *national) away() bool {
	return n != nil && n.late != nil && (n.late.Away() || n.relay != nil && n.relay.Failed() > 0)
}

// watched is the games that a hub shows, as they were when it looked at the database last.
type watched struct {
	store *postgres.Store
	shown *gamesShown
	heads map[ledgers.Where]ledgers.Head
}

// look asks where the games in memory end, and has those read that have others ends than
// before: while the bus is away nobody else says so.
func (w *watched) look(ctx context.Context) error {
	var of []ledgers.Where
	w.shown.each(func(games *live.Games) {
		for _, id := range games.InMemory() {
			of = append(of, ledgers.Where{Association: games.Association, Game: id})
		}
	})
	heads, err := w.store.Heads(ctx, of)
	if err != nil {
		return err
	}
	for at, head := range heads {
		if before, known := w.heads[at]; known && before == head {
			continue
		}
		if games := w.shown.of(at.Association); games != nil {
			games.MovedElsewhere(at.Game)
		}
	}
	w.heads = heads
	return nil
}

// poll is what looks at the database while the bus is away.
func (n *national) poll(logger *slog.Logger, shown *gamesShown) *bus.Poll {
	w := &watched{store: n.store, shown: shown}
	return &bus.Poll{Away: n.away, Look: w.look, Logger: logger}
}
