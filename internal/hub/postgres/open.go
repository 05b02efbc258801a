package postgres

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
	"github.com/jackc/pgx/v5/pgxpool"
	"github.com/jackc/pgx/v5/stdlib"

	"whistlestop/internal/hub/tables"
	"whistlestop/internal/store"
)

// Store is a hub's database. It is safe for use by many goroutines.
type Store struct {
	*tables.Store
	pool   *pgxpool.Pool
	queue  *queue
	joined *pgx.Conn // as one of the hub's processes; nil: it is none
}

// tracer is told what is asked: a test keeps it, to ask the same of newer tables.
var tracer pgx.QueryTracer

// ErrBehind says that the tables are older than the program: they want preparing first.
var ErrBehind = errors.New("the tables of the database are older than this program")

// serverLeast is the oldest PostgreSQL that is tried (15, as PostgreSQL counts it).
const serverLeast = 150000

// How long things may take (ours). Nothing that a hub asks takes longer than a second.
const (
	connectWithin = 5 * time.Second
	askWithin     = "30s"
	connLasts     = 30 * time.Minute // a setting that is weakened later is seen when the next connection is made
)

// Open opens a database that was prepared. It returns a *store.WeakError when the
// server or the login cannot be trusted with what was acknowledged, and ErrBehind when
// the tables are older than the program. A connection that is lost later is made anew by
// itself; until then questions fail and nothing is acknowledged. adjust changes how
// connections are made: tests let them break.
func Open(ctx context.Context, url string, adjust ...func(*pgx.ConnConfig)) (*Store, error) {
	config, err := pgxpool.ParseConfig(url)
	if err != nil {
		return nil, err
	}
	own := config.ConnConfig
	own.ConnectTimeout = connectWithin
	own.ValidateConnect = pgconn.ValidateConnectTargetSessionAttrsReadWrite
	own.RuntimeParams["search_path"] = "hub"
	own.RuntimeParams["application_name"] = "whistlestop hub"
	own.RuntimeParams["statement_timeout"] = askWithin
	own.RuntimeParams["idle_in_transaction_session_timeout"] = askWithin
	for _, do := range adjust {
		do(own)
	}
	config.MaxConnLifetime = connLasts
	config.AfterConnect = trusted
	if tracer != nil {
		own.Tracer = tracer
	}
	pool, err := pgxpool.NewWithConfig(ctx, config)
	if err != nil {
		return nil, err
	}
	if err := fits(ctx, pool); err != nil {
		pool.Close()
		return nil, err
	}
	waiting := &queue{under: map[string]int{}, waits: map[string][]*request{}}
	return &Store{Store: tables.New(&engine{pool}), pool: pool, queue: waiting}, nil
}

// fits says whether the tables, and the newest function beside them, are at least as new as
// the program.
func fits(ctx context.Context, pool *pgxpool.Pool) error {
	if err := pool.Ping(ctx); err != nil {
		return err
	}
	var there bool
	if err := pool.QueryRow(ctx, `SELECT to_regclass('hub.goose_db_version') IS NOT NULL AND
		to_regprocedure('hub.append_each(text, text[], bigint[], bigint[], text[], text[], text[], bytea[], bigint[])') IS NOT NULL`).Scan(&there); err != nil {
		return err
	}
	if !there {
		return ErrBehind
	}
	db := stdlib.OpenDBFromPool(pool)
	steps, err := stepsOf(db)
	if err != nil {
		return errors.Join(err, db.Close())
	}
	current, target, err := steps.GetVersions(ctx)
	if err = errors.Join(err, db.Close()); err == nil && current < target {
		err = ErrBehind
	}
	return err
}

// trusted refuses a server that could lose what it acknowledged, and a login that goes
// around the wall between associations or could change a line.
func trusted(ctx context.Context, conn *pgx.Conn) error {
	var weak []string
	for _, setting := range []string{"fsync", "full_page_writes", "synchronous_commit"} {
		var found string
		if err := conn.QueryRow(ctx, "SELECT current_setting($1)", setting).Scan(&found); err != nil {
			return err
		}
		if found == "off" {
			weak = append(weak, setting)
		}
	}
	if len(weak) > 0 {
		return &store.WeakError{Setting: strings.Join(weak, ", "), Found: "off", Needed: "on"}
	}
	var version int
	var super, around, changes bool
	err := conn.QueryRow(ctx, `SELECT current_setting('server_version_num')::int, bool_or(rolsuper), bool_or(rolbypassrls),
		COALESCE(bool_or(has_table_privilege(rolname, to_regclass('hub.entry'), 'UPDATE, DELETE, TRUNCATE')), false)
		FROM pg_roles WHERE rolname IN (current_user, session_user)`).Scan(&version, &super, &around, &changes)
	switch {
	case err != nil:
		return err
	case version < serverLeast:
		return &store.WeakError{Setting: "server_version_num", Found: fmt.Sprint(version), Needed: fmt.Sprint(serverLeast)}
	case super:
		return &store.WeakError{Setting: "login", Found: "SUPERUSER", Needed: "whistlestop_app"}
	case around:
		return &store.WeakError{Setting: "login", Found: "BYPASSRLS", Needed: "whistlestop_app"}
	case changes:
		return &store.WeakError{Setting: "login on table entry", Found: "UPDATE, DELETE, TRUNCATE", Needed: "SELECT, INSERT"}
	}
	return nil
}
