package tables

import (
	"context"

	"whistlestop/internal/hub/ledgers"
)

// Reopened returns how many versions of each reopened report there were when it was
// reopened last, by game.
func (s *Store) Reopened(ctx context.Context, association string) (map[string]int, error) {
	list := map[string]int{}
	err := s.db.Read(ctx, association, func(tx Tx) error {
		return tx.Rows("SELECT game, MAX(versions) FROM reopened WHERE association = ? GROUP BY game", func(read func(...any) error) error {
			var game string
			var versions int
			err := read(&game, &versions)
			list[game] = versions
			return err
		}, association)
	})
	return list, err
}

// Reopen notes that a further version than those is wanted of a game's report.
func (s *Store) Reopen(ctx context.Context, at ledgers.Where, versions int, note ledgers.Note) error {
	return s.db.Change(ctx, at.Association, func(tx Tx) error {
		if _, err := tx.Exec("INSERT INTO reopened (association, game, versions, made) VALUES (?, ?, ?, ?) ON CONFLICT (association, game, versions) DO NOTHING",
			at.Association, at.Game, versions, millis(note.At)); err != nil {
			return err
		}
		return writeNote(tx, at.Association, note)
	})
}
