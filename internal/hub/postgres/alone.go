package postgres

import (
	"context"
	"errors"

	"github.com/jackc/pgx/v5"
)

// ErrNotAlone says that another process of the hub is on the database, and that the two
// would not tell each other what came in.
var ErrNotAlone = errors.New("another process of the hub uses the database")

// JoinProcesses says at the start of a process whether it tells others what came in. One that
// does not must be the only one; it returns ErrNotAlone otherwise. It is held as long as
// its connection to the server: it keeps people from a mistake, and is no lock.
func (s *Store) JoinProcesses(ctx context.Context, tells bool) error {
	ask := "SELECT pg_try_advisory_lock(hashtextextended('whistlestop process', 0))"
	if tells {
		ask = "SELECT pg_try_advisory_lock_shared(hashtextextended('whistlestop process', 0))"
	}
	conn, err := pgx.ConnectConfig(ctx, s.pool.Config().ConnConfig)
	if err != nil {
		return err
	}
	var joined bool
	err = conn.QueryRow(ctx, ask).Scan(&joined)
	if err == nil && !joined {
		err = ErrNotAlone
	}
	if err != nil {
		return errors.Join(err, conn.Close(ctx))
	}
	s.joined = conn
	return nil
}

// Close closes the database.
func (s *Store) Close() error {
	if s.joined != nil {
		ctx, cancel := context.WithTimeout(context.Background(), endWithin)
		defer cancel()
		_ = s.joined.Close(ctx) // the server may be gone, and has let go of it then
	}
	return s.Store.Close()
}
