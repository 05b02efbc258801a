package postgres

import (
	"context"

	"github.com/jackc/pgx/v5"

	"whistlestop/internal/hub/copied"
	"whistlestop/internal/hub/ledgers"
)

// AllHeads sums up where all ledgers end, as a copy does.
func (s *Store) AllHeads(ctx context.Context) (h copied.Heads, err error) {
	err = s.relay(ctx, beginRead, func(t *tx) error {
		h, err = headsOf(ctx, t.conn)
		return err
	})
	return h, err
}

// headsAtOnce is for how many games one question asks (ours).
const headsAtOnce = 500

// Heads returns where the ledgers of games end, of any associations: those that are
// there. It is one question for up to 500 games.
func (s *Store) Heads(ctx context.Context, of []ledgers.Where) (map[ledgers.Where]ledgers.Head, error) {
	heads := make(map[ledgers.Where]ledgers.Head, len(of))
	for len(of) > 0 {
		some := of[:min(len(of), headsAtOnce)]
		of = of[len(some):]
		associations, games := make([]string, len(some)), make([]string, len(some))
		for i, at := range some {
			associations[i], games[i] = at.Association, at.Game
		}
		err := s.relay(ctx, beginRead, func(t *tx) error {
			const ask = `SELECT h.association, h.game, h.epoch, h.seq, h.hash, h.forked <> 0, h.common
				FROM unnest($1::text[], $2::text[]) AS a (association, game) JOIN hub.ledger_head h USING (association, game)`
			rows, err := t.conn.Query(ctx, ask, associations, games)
			if err != nil {
				return err
			}
			var at ledgers.Where
			var head ledgers.Head
			_, err = pgx.ForEachRow(rows, []any{&at.Association, &at.Game, &head.Epoch, &head.Seq, &head.Hash, &head.Forked, &head.Common}, func() error {
				heads[at] = head
				return nil
			})
			return err
		})
		if err != nil {
			return nil, err
		}
	}
	return heads, nil
}
