package postgres

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"

	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/tables"
)

// engine is PostgreSQL as the questions want it.
type engine struct{ pool *pgxpool.Pool }

// How a transaction begins. A read sees one moment, as it does in SQLite.
const (
	beginRead   = "BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY"
	beginChange = "BEGIN"
)

// The locks that last as long as the transaction: who changes a game keeps out others
// who change that game, who changes the office keeps out others who change that.
func gameLock(at ledgers.Where) string     { return "g/" + at.Association + "/" + at.Game }
func officeLock(association string) string { return "o/" + association }
func (e *engine) Read(ctx context.Context, association string, act func(tables.Tx) error) error {
	return e.transact(ctx, beginRead, act, association, ownRole, "")
}

func (e *engine) ReadAll(ctx context.Context, act func(tables.Tx) error) error {
	return e.transact(ctx, beginRead, act, "", relayRole, "")
}

func (e *engine) Change(ctx context.Context, association string, act func(tables.Tx) error) error {
	return e.transact(ctx, beginChange, act, association, ownRole, officeLock(association))
}

func (e *engine) ChangeGame(ctx context.Context, at ledgers.Where, act func(tables.Tx) error) error {
	return e.transact(ctx, beginChange, act, at.Association, ownRole, gameLock(at))
}

func (e *engine) Close() error {
	e.pool.Close()
	return nil
}

// endWithin is how long taking a transaction back may take.
const endWithin = 5 * time.Second

// transact does something in one transaction. Whose it is, is said inside it, so that
// nothing of it is left on the connection for the next who gets that.
func (e *engine) transact(ctx context.Context, begin string, act func(tables.Tx) error, association, role, lock string) error {
	conn, err := e.pool.Acquire(ctx)
	if err != nil {
		return err
	}
	defer conn.Release() // a connection that is still in a transaction is closed
	// One way there and back for all of it.
	var batch pgx.Batch
	batch.Queue(begin)
	if role != ownRole {
		batch.Queue("SELECT set_config('role', $1, true)", role)
	}
	batch.Queue("SELECT set_config('app.tenant', $1, true)", association)
	if lock != "" {
		batch.Queue("SELECT pg_advisory_xact_lock(hashtextextended($1, 0))", lock)
	}
	if err := conn.SendBatch(ctx, &batch).Close(); err != nil {
		return errors.Join(err, takeBack(ctx, conn.Conn()))
	}
	if err := act(&tx{ctx, conn.Conn(), association}); err != nil {
		return errors.Join(err, takeBack(ctx, conn.Conn()))
	}
	tag, err := conn.Exec(ctx, "COMMIT")
	if err != nil {
		return err
	}
	if tag.String() != "COMMIT" {
		return fmt.Errorf("the transaction ended with %s: nothing of it was kept", tag)
	}
	return nil
}

// takeBack ends a transaction that failed. Where the connection is gone, the server has
// taken it back.
func takeBack(ctx context.Context, conn *pgx.Conn) error {
	if conn.IsClosed() || conn.PgConn().TxStatus() == 'I' {
		return nil
	}
	ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), endWithin)
	defer cancel()
	_, err := conn.Exec(ctx, "ROLLBACK")
	return err
}

// tx is a transaction that is under way.
type tx struct {
	ctx         context.Context
	conn        *pgx.Conn
	association string
}

func (t *tx) Exec(text string, args ...any) (int64, error) {
	tag, err := t.conn.Exec(t.ctx, number(text), plain(args)...)
	return tag.RowsAffected(), err
}

func (t *tx) Rows(text string, scan func(read func(into ...any) error) error, args ...any) error {
	rows, err := t.conn.Query(t.ctx, number(text), plain(args)...)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		if err := scan(func(into ...any) error { return rows.Scan(places(into)...) }); err != nil {
			return err
		}
	}
	return rows.Err()
}

func (t *tx) Row(text string, into []any, args ...any) (there bool, err error) {
	err = t.Rows(text, func(read func(...any) error) error {
		there = true
		return read(into...)
	}, args...)
	return there, err
}

func (t *tx) HoldOffice() error {
	_, err := t.conn.Exec(t.ctx, "SELECT pg_advisory_xact_lock(hashtextextended($1, 0))", officeLock(t.association))
	return err
}

// TakeOut is one function of the owner's: a hub itself cannot delete a line.
func (t *tx) TakeOut(at ledgers.Where, from int) error {
	_, err := t.conn.Exec(t.ctx, "SELECT hub.take_out($1, $2, $3)", at.Association, at.Game, from)
	return err
}

// ForgetLog is one function of the owner's too, which refuses lines that are not old.
func (t *tx) ForgetLog(association string, through int) error {
	_, err := t.conn.Exec(t.ctx, "SELECT hub.forget_log($1, $2)", association, through)
	return err
}

func (t *tx) Tell(at ledgers.Where, epoch, from, to int) error {
	_, err := t.conn.Exec(t.ctx, "INSERT INTO hub.outbox (association, game, epoch, first, last) VALUES ($1, $2, $3, $4, $5)",
		at.Association, at.Game, epoch, from, to)
	return err
}
