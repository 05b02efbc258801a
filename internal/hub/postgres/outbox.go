package postgres

import (
	"context"
	"slices"
	"time"

	"github.com/jackc/pgx/v5"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/bus"
	"whistlestop/internal/hub/tables"
)

// row is one of the outbox.
type row struct {
	ID                 int64
	Association, Game  string
	Epoch, First, Last int
}

// linesAtOnce is about how many lines are published at once: a row has up to 500.
const linesAtOnce = 2 * bus.AtOnce

// TakeOutbox takes rows of the outbox that no other relay has taken, hands over the lines that
// they are about, and deletes them once those were published.
func (s *Store) TakeOutbox(ctx context.Context, most int, publish func(ctx context.Context, messages []bus.Message) error) (taken int, err error) {
	err = s.relay(ctx, beginChange, func(t *tx) error {
		const ask = `SELECT id, association, game, epoch, first, last FROM hub.outbox ORDER BY id LIMIT $1 FOR UPDATE SKIP LOCKED`
		rows, err := t.conn.Query(ctx, ask, most)
		if err != nil {
			return err
		}
		list, err := pgx.CollectRows(rows, pgx.RowToStructByPos[row])
		if err != nil || len(list) == 0 {
			return err
		}
		list = some(list)
		messages, err := linesOf(ctx, t.conn, list)
		if err != nil {
			return err
		}
		if err := publish(ctx, messages); err != nil {
			return err
		}
		ids := make([]int64, len(list))
		for i, r := range list {
			ids[i] = r.ID
		}
		taken = len(list)
		// Published twice is no fault, so the deleting need not wait for the disk.
		if _, err := t.conn.Exec(ctx, "SET LOCAL synchronous_commit = off"); err != nil {
			return err
		}
		_, err = t.conn.Exec(ctx, "DELETE FROM hub.outbox WHERE id = ANY($1)", ids)
		return err
	})
	if err != nil {
		return 0, err
	}
	return taken, nil
}

// some is as many of the rows as are published at once; the others are let go.
func some(list []row) []row {
	lines := 0
	for i, r := range list {
		if lines += r.Last - r.First + 1; lines >= linesAtOnce {
			return list[:i+1]
		}
	}
	return list
}

// linesOf asks for what rows are about, in one question: the lines of each row are
// looked up by their key, whatever the server thinks of the size of the table.
func linesOf(ctx context.Context, conn *pgx.Conn, list []row) ([]bus.Message, error) {
	var associations, games []string
	var first, last []int64
	byRow := make([][]bus.Message, len(list))
	for i, r := range list {
		if r.First == 0 {
			byRow[i] = []bus.Message{{Association: r.Association, Game: r.Game, Epoch: r.Epoch, Turn: r.ID}}
		}
		associations, games = append(associations, r.Association), append(games, r.Game)
		first, last = append(first, int64(r.First)), append(last, int64(r.Last))
	}
	const ask = `SELECT r.n, e.epoch, e.seq, e.line
		FROM unnest($1::text[], $2::text[], $3::bigint[], $4::bigint[]) WITH ORDINALITY AS r (association, game, first, last, n)
		CROSS JOIN LATERAL (
			SELECT epoch, seq, line FROM hub.entry
			WHERE association = r.association AND game = r.game AND seq BETWEEN r.first AND r.last ORDER BY seq LIMIT r.last - r.first + 1) e
		WHERE r.first > 0`
	rows, err := conn.Query(ctx, ask, associations, games, first, last)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for rows.Next() {
		var n int
		var m bus.Message
		if err := rows.Scan(&n, &m.Epoch, &m.Seq, &m.Line); err != nil {
			return nil, err
		}
		m.Association, m.Game = list[n-1].Association, list[n-1].Game
		byRow[n-1] = append(byRow[n-1], m)
	}
	return slices.Concat(byRow...), rows.Err()
}

// relay does something as the relay, in one transaction.
func (s *Store) relay(ctx context.Context, begin string, act func(*tx) error) error {
	return (&engine{s.pool}).transact(ctx, begin, func(t tables.Tx) error { return act(t.(*tx)) }, "", relayRole, "")
}

// Waiting says how many rows wait in the outbox, and since when the oldest does.
func (s *Store) Waiting(ctx context.Context) (rows int, oldest time.Duration, err error) {
	err = s.relay(ctx, beginRead, func(t *tx) error {
		var micros int64
		err := t.conn.QueryRow(ctx, "SELECT count(*), coalesce(extract(epoch FROM clock_timestamp() - min(made)) * 1000000, 0)::bigint FROM hub.outbox").
			Scan(&rows, &micros)
		oldest = max(0, time.Duration(micros)*time.Microsecond)
		return err
	})
	return rows, oldest, err
}

// Republish hands over every line of the games that were heard since a moment, for a bus
// that lost what it had.
func (s *Store) Republish(ctx context.Context, since entry.Millis, publish func(ctx context.Context, messages []bus.Message) error) error {
	var games []row
	err := s.relay(ctx, beginRead, func(t *tx) error {
		rows, err := t.conn.Query(ctx, `SELECT 0::bigint, association, game, epoch, 1::bigint, seq FROM hub.ledger_head
			WHERE heard >= $1 ORDER BY association, game`, int64(since))
		if err != nil {
			return err
		}
		games, err = pgx.CollectRows(rows, pgx.RowToStructByPos[row])
		return err
	})
	if err != nil {
		return err
	}
	for _, g := range games {
		for first := 1; first <= g.Last; first += bus.AtOnce {
			var messages []bus.Message
			some := row{Association: g.Association, Game: g.Game, First: first, Last: min(g.Last, first+bus.AtOnce-1)}
			err := s.relay(ctx, beginRead, func(t *tx) (err error) {
				messages, err = linesOf(ctx, t.conn, []row{some})
				return err
			})
			if err == nil {
				err = publish(ctx, messages)
			}
			if err != nil {
				return err
			}
		}
	}
	return nil
}
