package tables

import (
	"context"

	"whistlestop/internal/hub/ledgers"
)

// Origins returns the pages of others that may show an association's games.
func (s *Store) Origins(ctx context.Context, association string) (list []string, err error) {
	err = s.db.Read(ctx, association, func(tx Tx) error {
		return tx.Rows("SELECT origin FROM origin WHERE association = ? ORDER BY origin", func(read func(...any) error) error {
			var one string
			err := read(&one)
			list = append(list, one)
			return err
		}, association)
	})
	return list, err
}

// LetOrigin lets one in, or no longer.
func (s *Store) LetOrigin(ctx context.Context, association, origin string, in bool, note ledgers.Note) error {
	return s.db.Change(ctx, association, func(tx Tx) error {
		var err error
		if in {
			_, err = tx.Exec("INSERT INTO origin (association, origin, made) VALUES (?, ?, ?) ON CONFLICT (association, origin) DO NOTHING",
				association, origin, millis(note.At))
		} else {
			_, err = tx.Exec("DELETE FROM origin WHERE association = ? AND origin = ?", association, origin)
		}
		if err != nil {
			return err
		}
		return writeNote(tx, association, note)
	})
}
