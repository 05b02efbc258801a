package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"sync"

	"github.com/gofrs/flock"
	"modernc.org/sqlite"

	"whistlestop/game/entry"
	"whistlestop/internal/store"
)

// Store is ledgers in one database. It is safe for use by many goroutines.
type Store struct {
	path  string
	steps fs.FS        // what brings the tables up to date
	lock  *flock.Flock // nil: another program has the folder open

	mutex  sync.Mutex
	db     *sql.DB              // nil after a failed write, until the next call opens it again
	asked  map[string]*sql.Stmt // of db: what was asked before, by its text
	closed bool

	decoded store.Decoded
}

// errClosed is what calls get after Close.
var errClosed = errors.New("the store is closed")

// database returns the open database, opening it again after a failed write.
func (s *Store) database(ctx context.Context) (*sql.DB, error) {
	if s.closed {
		return nil, errClosed
	}
	if s.db == nil {
		if err := s.open(ctx); err != nil {
			return nil, fmt.Errorf("open the database again: %w", err)
		}
	}
	return s.db, nil
}

// abandon closes the database after a write that failed. After a failed sync
// the system may show bytes that never reached the disk; trying again and going
// on would build on them.
func (s *Store) abandon(cause error) error {
	db := s.db
	s.db, s.asked = nil, nil // closing the database closes them
	s.decoded.Forget()
	if db == nil {
		return cause
	}
	return errors.Join(cause, db.Close())
}

// Append adds the entries of one post to the end of the game's ledger in one
// transaction, all or none. The first of them must have the number that follows
// the newest entry; otherwise, or when an id is known already, it returns
// store.ErrMoved and nothing was written. After any other error the caller
// cannot know whether the post was kept and must load the ledger again.
func (s *Store) Append(ctx context.Context, game string, entries []entry.Entry) error {
	lines, err := store.Lines(game, entries)
	if err != nil {
		return err
	}
	return s.change(ctx, func(ctx context.Context, db *sql.DB) error {
		err := inOne(ctx, db, func(tx *sql.Tx) error { return write(ctx, tx, game, entries, lines) })
		if err == nil && settles(entries) {
			checkpoint(ctx, db)
		}
		return err
	})
}

// full reports whether the disk had no room and nothing else went wrong. Such a
// write was taken back before any sync, so the open database is still what is on
// the disk; a new one might not open while there is no room.
func full(err error) bool {
	var failed *sqlite.Error
	return !errors.Is(err, errNotTakenBack) && errors.As(err, &failed) && failed.Code()&0xff == codeFull
}

// codeFull is SQLITE_FULL.
const codeFull = 13

// errNotTakenBack marks a transaction that failed and could not be rolled back.
var errNotTakenBack = errors.New("the transaction could not be taken back")

// inOne does something in one transaction, all or nothing.
func inOne(ctx context.Context, db *sql.DB, act func(*sql.Tx) error) (err error) {
	tx, err := db.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			if failed := ignoreDone(tx.Rollback()); failed != nil {
				err = errors.Join(err, errNotTakenBack, failed)
			}
		}
	}()
	if err := act(tx); err != nil {
		return err
	}
	return tx.Commit()
}

func write(ctx context.Context, tx *sql.Tx, game string, entries []entry.Entry, lines []store.Line) error {
	var newest int
	const known = "SELECT newest FROM games WHERE id = ?"
	if err := tx.QueryRowContext(ctx, known, game).Scan(&newest); err != nil && !errors.Is(err, sql.ErrNoRows) {
		return err
	}
	if entries[0].Seq != newest+1 {
		return fmt.Errorf("game %s has %d entries: %w", game, newest, store.ErrMoved)
	}
	if err := learn(ctx, tx, game, store.Commitments(entries)); err != nil {
		return err
	}
	if newest == 0 {
		const open = "INSERT INTO games (id, opened) VALUES (?, ?)"
		if _, err := tx.ExecContext(ctx, open, game, int64(entries[0].Wall)); err != nil {
			return err
		}
	}
	const taken = "SELECT count(*) FROM entries WHERE id = ?"
	const add = "INSERT INTO entries (game, seq, id, line, hash) VALUES (?, ?, ?, ?, ?)"
	for i, e := range entries {
		var count int
		if err := tx.QueryRowContext(ctx, taken, e.ID).Scan(&count); err != nil {
			return err
		}
		if count > 0 {
			return fmt.Errorf("entry %s is in the store already: %w", e.ID, store.ErrMoved)
		}
		if _, err := tx.ExecContext(ctx, add, game, e.Seq, e.ID, string(lines[i].Bytes), lines[i].Hash); err != nil {
			return err
		}
	}
	const head = "UPDATE games SET newest = ?, head = ? WHERE id = ?"
	last := len(lines) - 1
	_, err := tx.ExecContext(ctx, head, entries[last].Seq, lines[last].Hash, game)
	return err
}

// ignoreDone drops the error of a rollback after a commit that was tried: the
// transaction is over either way.
func ignoreDone(err error) error {
	if errors.Is(err, sql.ErrTxDone) {
		return nil
	}
	return err
}

// Load returns the ledger of a game, oldest entry first; empty when there is no
// such game. It returns a *store.DamagedError that names the first entry that
// is not as it was written.
func (s *Store) Load(ctx context.Context, game string) ([]entry.Entry, error) {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	lines, err := query(ctx, s, "SELECT line, hash FROM entries WHERE game = ? ORDER BY seq",
		func(rows *sql.Rows) (line store.Line, err error) {
			err = rows.Scan(&line.Bytes, &line.Hash)
			return line, err
		}, game)
	if err != nil {
		return nil, err
	}
	heads, err := query(ctx, s, "SELECT newest, head FROM games WHERE id = ?",
		func(rows *sql.Rows) (h head, err error) {
			err = rows.Scan(&h.newest, &h.hash)
			return h, err
		}, game)
	if err != nil {
		return nil, err
	}
	names, err := query(ctx, s, "SELECT commitment, random, text FROM names WHERE game = ?",
		func(rows *sql.Rows) (n entry.Name, err error) {
			n.Game = game
			err = rows.Scan(&n.Commitment, &n.Random, &n.Text)
			return n, err
		}, game)
	if err != nil {
		return nil, err
	}
	beside := make(store.Beside, len(names))
	for _, name := range names {
		beside[name.Commitment] = name
	}
	ledger, err := store.Read(game, lines, beside, &s.decoded)
	if err != nil {
		return nil, err
	}
	known := head{}
	if len(heads) > 0 {
		known = heads[0]
	}
	found := head{newest: len(lines)}
	if len(lines) > 0 {
		found.hash = lines[len(lines)-1].Hash
	}
	if found != known {
		return nil, &store.DamagedError{Game: game, Seq: min(found.newest, known.newest) + 1, Err: fmt.Errorf(
			"%d entries are there, and %d were written", found.newest, known.newest)}
	}
	return ledger, nil
}

// head is the newest entry of a game.
type head struct {
	newest int
	hash   string
}

// Games returns the ids of all games, the newest first. It lists a game also when
// only its entries are left of it.
func (s *Store) Games(ctx context.Context) ([]string, error) {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	// A game whose own row was damaged must not hide: its entries name it.
	return query(ctx, s, `SELECT id FROM (
		SELECT id, opened FROM games
		UNION ALL SELECT DISTINCT game, 0 FROM entries WHERE game NOT IN (SELECT id FROM games)
	) ORDER BY opened DESC, id DESC`,
		func(rows *sql.Rows) (id string, err error) {
			err = rows.Scan(&id)
			return id, err
		})
}

// query reads all rows. The caller holds the mutex.
func query[T any](
	ctx context.Context, s *Store, text string, scan func(*sql.Rows) (T, error), args ...any,
) (all []T, err error) {
	ask, err := s.ask(ctx, text)
	if err != nil {
		return nil, err
	}
	rows, err := ask.QueryContext(ctx, args...)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, rows.Close()) }()
	for rows.Next() {
		row, err := scan(rows)
		if err != nil {
			return nil, err
		}
		all = append(all, row)
	}
	return all, rows.Err()
}

// ask is a question to the database, made ready once for as long as it is open. The
// caller holds the mutex.
func (s *Store) ask(ctx context.Context, text string) (*sql.Stmt, error) {
	db, err := s.database(ctx)
	if err != nil {
		return nil, err
	}
	if ready, known := s.asked[text]; known {
		return ready, nil
	}
	ready, err := db.PrepareContext(ctx, text)
	if err != nil {
		return nil, err
	}
	if s.asked == nil {
		s.asked = map[string]*sql.Stmt{}
	}
	s.asked[text] = ready
	return ready, nil
}

// Ends returns the number of the newest entry of every game, as it was written
// with it.
func (s *Store) Ends(ctx context.Context) (map[string]int, error) {
	type end struct {
		game   string
		newest int
	}
	s.mutex.Lock()
	defer s.mutex.Unlock()
	list, err := query(ctx, s, "SELECT id, newest FROM games", func(rows *sql.Rows) (e end, err error) {
		err = rows.Scan(&e.game, &e.newest)
		return e, err
	})
	ends := make(map[string]int, len(list))
	for _, e := range list {
		ends[e.game] = e.newest
	}
	return ends, err
}

// HashAt returns the hash of an entry, or "" if it is not there.
func (s *Store) HashAt(ctx context.Context, game string, seq int) (string, error) {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	list, err := query(ctx, s, "SELECT hash FROM entries WHERE game = ? AND seq = ?", func(rows *sql.Rows) (hash string, err error) {
		err = rows.Scan(&hash)
		return hash, err
	}, game, seq)
	if err != nil || len(list) == 0 {
		return "", err
	}
	return list[0], nil
}

// settles reports whether entries bring a quiet moment: a break, the end of the
// game, a seal.
func settles(entries []entry.Entry) bool {
	for _, e := range entries {
		switch body := e.Body.(type) {
		case entry.StageBegun:
			if k := body.Stage.Kind; k == entry.Intermission || k == entry.ShootOut || k == entry.Over {
				return true
			}
		case entry.Sealed:
			return true
		default: // the other entries say nothing here
		}
	}
	return false
}

// checkpoint takes the write-ahead log into the database, so that damage to the
// log cannot reach back beyond the last break. The entries are safe either way,
// so a checkpoint that does not succeed changes nothing.
func checkpoint(ctx context.Context, db *sql.DB) {
	var busy, pages, done int
	_ = db.QueryRowContext(ctx, "PRAGMA wal_checkpoint(PASSIVE)").Scan(&busy, &pages, &done)
}

// Close closes the database and lets another program open the folder.
func (s *Store) Close() error {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	if s.closed {
		return nil
	}
	s.closed = true
	err := s.abandon(nil)
	if s.lock != nil {
		err = errors.Join(err, s.lock.Unlock())
	}
	return err
}
