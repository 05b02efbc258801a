package postgres

import (
	"cmp"
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

// waiting asks for rows, as they lie, and the lines that they are about, one line after the
// other. The server locks a row when it gets there, so those behind the last line stay free;
// each line is looked up by its key, whatever the server thinks of the size of the table.
const waiting = `SELECT o.place::text, o.id, o.association, o.game, o.epoch, o.first, o.last, e.epoch, e.seq, e.line
	FROM (SELECT ctid AS place, id, association, game, epoch, first, last FROM hub.outbox LIMIT $1 FOR UPDATE SKIP LOCKED) o
	LEFT JOIN LATERAL (
		SELECT epoch, seq, line FROM hub.entry
		WHERE association = o.association AND game = o.game AND seq BETWEEN o.first AND o.last ORDER BY seq LIMIT o.last - o.first + 1) e ON true
	LIMIT $2`

// TakeOutbox takes rows of the outbox that no other relay has taken, hands over the lines that
// they are about, and deletes them once those were published.
func (s *Store) TakeOutbox(ctx context.Context, most int, publish func(ctx context.Context, messages []bus.Message) error) (taken int, err error) {
	err = s.relay(ctx, beginChange, func(t *tx) error {
		places, messages, err := takeSome(ctx, t.conn, most)
		if err != nil || len(places) == 0 {
			return err
		}
		if err := publish(ctx, messages); err != nil {
			return err
		}
		taken = len(places)
		// Published twice is no fault, so the deleting need not wait for the disk.
		if _, err := t.conn.Exec(ctx, "SET LOCAL synchronous_commit = off"); err != nil {
			return err
		}
		// They are locked, so they lie where they lay; there is no key to look for.
		_, err = t.conn.Exec(ctx, "DELETE FROM hub.outbox WHERE ctid = ANY($1::text[]::tid[])", places)
		return err
	})
	if err != nil {
		return 0, err
	}
	return taken, nil
}

// takeSome locks rows and returns where they lie and what they say, the oldest row first.
func takeSome(ctx context.Context, conn *pgx.Conn, most int) (places []string, messages []bus.Message, err error) {
	var r row
	var place string
	var of []int64 // the row of each message
	var epoch, seq *int
	var line []byte
	rows, err := conn.Query(ctx, waiting, most, linesAtOnce)
	if err != nil {
		return nil, nil, err
	}
	count := 0
	_, err = pgx.ForEachRow(rows, []any{&place, &r.ID, &r.Association, &r.Game, &r.Epoch, &r.First, &r.Last, &epoch, &seq, &line}, func() error {
		count++
		if len(places) == 0 || places[len(places)-1] != place {
			places = append(places, place)
		}
		switch {
		case seq != nil:
			messages = append(messages, bus.Message{Association: r.Association, Game: r.Game, Epoch: *epoch, Seq: *seq, Line: line})
		case r.First == 0:
			messages = append(messages, bus.Message{Association: r.Association, Game: r.Game, Epoch: r.Epoch, Turn: r.ID})
		}
		for len(of) < len(messages) {
			of = append(of, r.ID)
		}
		return nil
	})
	if err == nil && count == linesAtOnce && seq != nil && *seq < r.Last { // the last row has more
		r.First = *seq + 1
		var rest []bus.Message
		rest, err = linesOf(ctx, conn, r)
		messages = append(messages, rest...)
		for len(of) < len(messages) {
			of = append(of, r.ID)
		}
	}
	return places, inOrder(messages, of), err
}

// inOrder puts messages in the order of their rows: a row may lie before an older one.
func inOrder(messages []bus.Message, of []int64) []bus.Message {
	if slices.IsSorted(of) {
		return messages
	}
	at := make([]int, len(of))
	for i := range at {
		at[i] = i
	}
	slices.SortStableFunc(at, func(a, b int) int { return cmp.Compare(of[a], of[b]) })
	out := make([]bus.Message, len(at))
	for i, from := range at {
		out[i] = messages[from]
	}
	return out
}

// linesOf asks for the lines that a row is about.
func linesOf(ctx context.Context, conn *pgx.Conn, r row) ([]bus.Message, error) {
	rows, err := conn.Query(ctx, "SELECT epoch, seq, line FROM hub.entry WHERE association = $1 AND game = $2 AND seq BETWEEN $3 AND $4 ORDER BY seq",
		r.Association, r.Game, r.First, r.Last)
	if err != nil {
		return nil, err
	}
	return pgx.CollectRows(rows, func(of pgx.CollectableRow) (bus.Message, error) {
		m := bus.Message{Association: r.Association, Game: r.Game}
		return m, of.Scan(&m.Epoch, &m.Seq, &m.Line)
	})
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
				messages, err = linesOf(ctx, t.conn, some)
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
