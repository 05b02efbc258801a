package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"whistlestop/game/entry"
	"whistlestop/internal/store"
)

// learn keeps what lies beside the lines of a ledger. A text that is known stays,
// and one that was deleted stays deleted.
func learn(ctx context.Context, tx *sql.Tx, game string, names []entry.Name) error {
	const add = `INSERT INTO names (game, commitment, random, text) VALUES (?, ?, ?, ?)
		ON CONFLICT (game, commitment) DO UPDATE SET random = excluded.random, text = excluded.text
		WHERE names.text = '' AND names.gone = 0 AND excluded.text <> ''`
	for _, n := range names {
		if _, err := tx.ExecContext(ctx, add, game, n.Commitment, n.Random, n.Text); err != nil {
			return err
		}
	}
	return nil
}

// Learn keeps texts that a ledger has commitments for and no texts, as an older
// copy of it knows them. What was taken out stays out.
func (s *Store) Learn(ctx context.Context, game string, names []entry.Name) error {
	const add = `UPDATE names SET random = ?, text = ? WHERE game = ? AND commitment = ? AND text = '' AND gone = 0`
	return s.change(ctx, inTransaction(func(tx *sql.Tx) error {
		for _, n := range names {
			if !n.Valid() {
				continue
			}
			if _, err := tx.ExecContext(ctx, add, n.Random, n.Text, game, n.Commitment); err != nil {
				return err
			}
		}
		return nil
	}))
}

// Forget takes texts out of a game in one act, all or nothing: it deletes the
// texts of the commitments, puts the lines in place of older ones with texts
// inside, and appends the entries that say so, and returns when
// no file of the database has them any more.
func (s *Store) Forget(ctx context.Context, game string, commitments []string, lines, entries []entry.Entry) error {
	var more []store.Line
	if len(entries) > 0 {
		var err error
		if more, err = store.Lines(game, entries); err != nil {
			return err
		}
	}
	err := s.change(ctx, inTransaction(func(tx *sql.Tx) error {
		if len(entries) > 0 {
			if err := write(ctx, tx, game, entries, more); err != nil {
				return err
			}
		}
		if err := learn(ctx, tx, game, store.Commitments(lines)); err != nil {
			return err
		}
		for _, e := range lines {
			if err := replace(ctx, tx, game, e); err != nil {
				return err
			}
		}
		const gone = `INSERT INTO names (game, commitment, random, text, gone) VALUES (?, ?, '', '', 1)
			ON CONFLICT (game, commitment) DO UPDATE SET random = '', text = '', gone = 1`
		for _, commitment := range commitments {
			if _, err := tx.ExecContext(ctx, gone, game, commitment); err != nil {
				return err
			}
		}
		return nil
	}))
	if err != nil {
		return err
	}
	s.mutex.Lock()
	s.decoded.Forget()
	s.mutex.Unlock()
	return s.Scrub(ctx)
}

// replace puts the line of an entry in place of the one whose hash it carries.
func replace(ctx context.Context, tx *sql.Tx, game string, e entry.Entry) error {
	var failed error
	line, err := store.Replacement(e, func(seq int) (older store.Line, there bool) {
		const at = "SELECT hash FROM entries WHERE game = ? AND seq = ?"
		failed = tx.QueryRowContext(ctx, at, game, seq).Scan(&older.Hash)
		return older, failed == nil
	})
	if failed != nil && !errors.Is(failed, sql.ErrNoRows) {
		return failed
	}
	if err != nil {
		return err
	}
	const put = "UPDATE entries SET line = ?, hash = ? WHERE game = ? AND seq = ?"
	if _, err := tx.ExecContext(ctx, put, string(line.Bytes), line.Hash, game, e.Seq); err != nil {
		return err
	}
	const head = "UPDATE games SET head = ? WHERE id = ? AND newest = ?"
	_, err = tx.ExecContext(ctx, head, line.Hash, game, e.Seq)
	return err
}

// Scrub writes the database anew without what was deleted, and empties the
// write-ahead log: pages that older versions of the program freed may still hold
// what stood on them.
func (s *Store) Scrub(ctx context.Context) error {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	db, err := s.database(ctx)
	if err != nil {
		return err
	}
	if _, err := db.ExecContext(ctx, "VACUUM"); err != nil {
		return fmt.Errorf("write the database anew: %w", err)
	}
	var busy, pages, moved int
	if err := db.QueryRowContext(ctx, "PRAGMA wal_checkpoint(TRUNCATE)").Scan(&busy, &pages, &moved); err != nil {
		return fmt.Errorf("empty the write-ahead log: %w", err)
	}
	if busy != 0 {
		return errors.New("the write-ahead log could not be emptied: another program reads the database")
	}
	return nil
}

// change changes the database. After a failure it is opened anew.
func (s *Store) change(ctx context.Context, act func(context.Context, *sql.DB) error) error {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	db, err := s.database(ctx)
	if err != nil {
		return err
	}
	err = act(ctx, db)
	if err == nil || errors.Is(err, store.ErrMoved) || full(err) {
		return err
	}
	return s.abandon(err)
}

// inTransaction is what changes the database in one transaction.
func inTransaction(act func(*sql.Tx) error) func(context.Context, *sql.DB) error {
	return func(ctx context.Context, db *sql.DB) error { return inOne(ctx, db, act) }
}
