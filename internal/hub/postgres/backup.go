package postgres

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/jackc/pgx/v5"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/copied"
)

// gameTables are those without a person in them. Every other one, whoever adds it, is of
// the people's part: what is not known is treated as if it had a name in it.
var gameTables = []string{
	"association", "ledger_head", "entry", "branch", "entry_branch", "title", "token", "audit", "deletion", "origin", "reopened", "older_line",
}

// notCopied are of no use elsewhere: which steps were taken the manifest says, and what
// is to be told to other hubs was told, or they look themselves.
var notCopied = []string{"goose_db_version", "outbox"}

// BackUp writes a copy of the whole database as it is at one moment, while hubs go on:
// games into one folder, people into another one. Neither is there yet.
func (s *Store) BackUp(ctx context.Context, games, people string, now entry.Millis) (m copied.Manifest, err error) {
	m = copied.Manifest{Taken: rand.Text(), At: int64(now)}
	parts := map[string]*copied.Part{}
	defer func() {
		for _, part := range parts {
			if err != nil {
				err = errors.Join(err, part.Drop())
			}
		}
	}()
	for name, folder := range map[string]string{copied.Games: games, copied.People: people} {
		if parts[name], err = copied.Create(folder); err != nil {
			delete(parts, name)
			return m, err
		}
	}
	conn, err := s.pool.Acquire(ctx)
	if err != nil {
		return m, err
	}
	defer conn.Release()
	defer func() { err = errors.Join(err, takeBack(ctx, conn.Conn())) }()
	b := &copying{ctx: ctx, conn: conn.Conn()}
	if err := b.begin(); err != nil {
		return m, err
	}
	if m.Heads, err = b.heads(); err != nil {
		return m, err
	}
	if m.Steps, err = b.steps(); err != nil {
		return m, err
	}
	tables, err := tablesOf(ctx, conn.Conn())
	if err != nil {
		return m, err
	}
	for _, t := range tables {
		part := copied.People
		if slices.Contains(gameTables, t.name) {
			part = copied.Games
		}
		if err := parts[part].Table(t.name, t.columns, func(to io.Writer) (int64, error) { return b.table(t, to) }); err != nil {
			return m, fmt.Errorf("table %s: %w", t.name, err)
		}
	}
	for _, name := range []string{copied.People, copied.Games} { // games last: with them the copy is there
		m.Part = name
		if err := parts[name].Finish(m); err != nil {
			return m, err
		}
		delete(parts, name)
	}
	return m, nil
}

// copying reads one moment of the database, an association at a time.
type copying struct {
	ctx          context.Context
	conn         *pgx.Conn
	associations []string
}

// begin begins the moment. Nothing that is asked in it may take too long.
func (b *copying) begin() error {
	for _, text := range []string{
		beginRead, "SET LOCAL statement_timeout = 0", "SET LOCAL idle_in_transaction_session_timeout = 0",
		"SELECT set_config('role', '" + relayRole + "', true)",
	} {
		if _, err := b.conn.Exec(b.ctx, text); err != nil {
			return err
		}
	}
	rows, err := b.conn.Query(b.ctx, `SELECT id FROM hub.association ORDER BY id COLLATE "C"`)
	if err != nil {
		return err
	}
	b.associations, err = pgx.CollectRows(rows, pgx.RowTo[string])
	return err
}

// heads is where all ledgers end, as the relay sees them; the hub's own role comes after.
func (b *copying) heads() (h copied.Heads, err error) {
	h, err = headsOf(b.ctx, b.conn)
	if err == nil {
		_, err = b.conn.Exec(b.ctx, "SELECT set_config('role', 'none', true)")
	}
	return h, err
}

// headsOf sums up where all ledgers end that the role of a connection sees.
func headsOf(ctx context.Context, conn *pgx.Conn) (h copied.Heads, err error) {
	rows, err := conn.Query(ctx, `SELECT association, game, epoch, seq, hash, forked, common FROM hub.ledger_head
		ORDER BY association COLLATE "C", game COLLATE "C"`)
	if err != nil {
		return h, err
	}
	sum := sha256.New()
	var association, game, hash string
	var epoch, seq, forked, common int
	_, err = pgx.ForEachRow(rows, []any{&association, &game, &epoch, &seq, &hash, &forked, &common}, func() error {
		h.Games, h.Entries = h.Games+1, h.Entries+seq
		_, err := fmt.Fprintf(sum, "%s\t%s\t%d\t%d\t%s\t%d\t%d\n", association, game, epoch, seq, hash, forked, common)
		return err
	})
	h.Hash = hex.EncodeToString(sum.Sum(nil))
	return h, err
}

func (b *copying) steps() (newest int64, err error) {
	err = b.conn.QueryRow(b.ctx, "SELECT max(version_id) FROM hub.goose_db_version WHERE is_applied").Scan(&newest)
	return newest, err
}

// table writes the rows of a table, those of one association after the other.
func (b *copying) table(t table, to io.Writer) (rows int64, err error) {
	for _, association := range b.associations {
		if _, err := b.conn.Exec(b.ctx, "SELECT set_config('app.tenant', $1, true)", association); err != nil {
			return rows, err
		}
		// COPY takes no values beside its text.
		text := fmt.Sprintf("COPY (SELECT %s FROM hub.%s WHERE %s = %s ORDER BY %s) TO STDOUT",
			quoted(t.columns), pgx.Identifier{t.name}.Sanitize(), t.tenant(), literal(association), quoted(t.key))
		tag, err := b.conn.PgConn().CopyTo(b.ctx, to, text)
		if err != nil {
			return rows, err
		}
		rows += tag.RowsAffected()
	}
	return rows, nil
}

// table is one that is copied.
type table struct {
	name         string
	columns, key []string
}

// tenant is the column that says whose a row is.
func (t table) tenant() string {
	if t.name == "association" {
		return "id"
	}
	return "association"
}

func quoted(names []string) string {
	all := make([]string, len(names))
	for i, name := range names {
		all[i] = pgx.Identifier{name}.Sanitize()
	}
	return strings.Join(all, ", ")
}

// literal is a text as a value: the server takes a backslash as it is.
func literal(text string) string { return "'" + strings.ReplaceAll(text, "'", "''") + "'" }

// tablesOf is what is copied, in an order in which it can be put back: none comes before
// one that it refers to.
func tablesOf(ctx context.Context, conn *pgx.Conn) (list []table, err error) {
	rows, err := conn.Query(ctx, `SELECT c.relname::text,
			ARRAY(SELECT a.attname::text FROM pg_attribute a
				WHERE a.attrelid = c.oid AND a.attnum > 0 AND NOT a.attisdropped AND a.attgenerated = '' ORDER BY a.attnum),
			ARRAY(SELECT a.attname::text FROM pg_index i CROSS JOIN LATERAL unnest(i.indkey) WITH ORDINALITY AS k (attnum, n)
				JOIN pg_attribute a ON a.attrelid = c.oid AND a.attnum = k.attnum
				WHERE i.indrelid = c.oid AND i.indisprimary ORDER BY k.n),
			ARRAY(SELECT DISTINCT r.relname::text FROM pg_constraint f JOIN pg_class r ON r.oid = f.confrelid
				WHERE f.conrelid = c.oid AND f.contype = 'f' AND f.confrelid <> c.oid)
		FROM pg_class c
		WHERE c.relnamespace = 'hub'::regnamespace AND c.relkind IN ('r', 'p') AND NOT c.relispartition AND c.relname <> ALL ($1)
		ORDER BY c.relname::text COLLATE "C"`, notCopied)
	if err != nil {
		return nil, err
	}
	needs := map[string][]string{}
	var t table
	var refers []string
	var left []table
	_, err = pgx.ForEachRow(rows, []any{&t.name, &t.columns, &t.key, &refers}, func() error {
		if len(t.key) == 0 {
			return fmt.Errorf("table %s has no primary key", t.name)
		}
		left, needs[t.name] = append(left, t), refers
		t, refers = table{}, nil
		return nil
	})
	if err != nil {
		return nil, err
	}
	for done := map[string]bool{}; len(left) > 0; {
		next := slices.IndexFunc(left, func(t table) bool {
			return !slices.ContainsFunc(needs[t.name], func(other string) bool { return !done[other] })
		})
		if next < 0 {
			return nil, fmt.Errorf("table %s and others refer to each other in a ring", left[0].name)
		}
		done[left[next].name] = true
		list, left = append(list, left[next]), slices.Delete(left, next, next+1)
	}
	return list, nil
}
