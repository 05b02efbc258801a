package sqlite

import (
	"context"
	"database/sql"
)

// Titles returns what was kept for the list, of all games that end as they did
// when it was kept.
func (s *Store) Titles(ctx context.Context) (map[string][]byte, error) {
	type title struct {
		game string
		text []byte
	}
	s.mutex.Lock()
	defer s.mutex.Unlock()
	const fit = "SELECT game, title FROM titles JOIN games ON id = game AND newest = seq AND games.head = titles.head"
	list, err := query(ctx, s, fit, func(rows *sql.Rows) (t title, err error) {
		err = rows.Scan(&t.game, &t.text)
		return t, err
	})
	titles := make(map[string][]byte, len(list))
	for _, t := range list {
		titles[t.game] = t.text
	}
	return titles, err
}

// KeepTitle keeps what the list shows of a game with so many entries. Where the
// game has gone on meanwhile nothing is kept.
func (s *Store) KeepTitle(ctx context.Context, game string, seq int, title []byte) error {
	return s.change(ctx, inTransaction(func(tx *sql.Tx) error {
		const keep = `INSERT OR REPLACE INTO titles (game, seq, head, title)
			SELECT id, newest, head, ? FROM games WHERE id = ? AND newest = ?`
		_, err := tx.ExecContext(ctx, keep, string(title), game, seq)
		return err
	}))
}
