package tables

import (
	"context"
	"slices"
	"strings"

	"whistlestop/internal/hub/ledgers"
)

// Names returns the names of players that are kept of a game, in the order of their
// commitments.
func (s *Store) Names(ctx context.Context, at ledgers.Where) (list []ledgers.Name, err error) {
	err = s.db.Read(ctx, at.Association, func(tx Tx) error {
		return tx.Rows("SELECT commitment, naming, text FROM player_name WHERE association = ? AND game = ?", func(read func(...any) error) error {
			var n ledgers.Name
			err := read(&n.Commitment, &n.Naming, &n.Text)
			list = append(list, n)
			return err
		}, at.Association, at.Game)
	})
	slices.SortFunc(list, func(a, b ledgers.Name) int { return strings.Compare(a.Commitment, b.Commitment) })
	return list, err
}

// KeepNames keeps these names of a game's players and no others.
func (s *Store) KeepNames(ctx context.Context, at ledgers.Where, list []ledgers.Name) error {
	return s.db.ChangeGame(ctx, at, func(tx Tx) error {
		head, err := headOf(tx, at)
		switch {
		case err != nil:
			return err
		case head.Seq == 0:
			return ledgers.ErrNoGame
		}
		if _, err := tx.Exec("DELETE FROM player_name WHERE association = ? AND game = ?", at.Association, at.Game); err != nil {
			return err
		}
		for _, n := range list {
			if _, err := tx.Exec("INSERT INTO player_name (association, game, commitment, naming, text) VALUES (?, ?, ?, ?, ?)",
				at.Association, at.Game, n.Commitment, n.Naming, n.Text); err != nil {
				return err
			}
		}
		return tx.Tell(at, head.Epoch, 0, 0) // who follows at another hub is shown them too
	})
}

// ForgetNames takes out names of a game's players, by their commitments.
func (s *Store) ForgetNames(ctx context.Context, at ledgers.Where, commitments []string) error {
	return s.db.ChangeGame(ctx, at, func(tx Tx) error {
		head, err := headOf(tx, at)
		if err != nil || head.Seq == 0 {
			return err
		}
		for _, one := range commitments {
			if _, err := tx.Exec("DELETE FROM player_name WHERE association = ? AND game = ? AND commitment = ?", at.Association, at.Game, one); err != nil {
				return err
			}
		}
		return tx.Tell(at, head.Epoch, 0, 0)
	})
}

// ForgetNaming takes out all names of an association that are shown so, and returns the
// games that had some.
func (s *Store) ForgetNaming(ctx context.Context, association, naming string) (games []string, err error) {
	err = s.db.Change(ctx, association, func(tx Tx) error {
		games = nil
		if err := tx.Rows("SELECT DISTINCT game FROM player_name WHERE association = ? AND naming = ? ORDER BY game", func(read func(...any) error) error {
			var game string
			err := read(&game)
			games = append(games, game)
			return err
		}, association, naming); err != nil {
			return err
		}
		if _, err := tx.Exec("DELETE FROM player_name WHERE association = ? AND naming = ?", association, naming); err != nil {
			return err
		}
		for _, game := range games {
			at := ledgers.Where{Association: association, Game: game}
			head, err := headOf(tx, at)
			if err == nil {
				err = tx.Tell(at, head.Epoch, 0, 0)
			}
			if err != nil {
				return err
			}
		}
		return nil
	})
	return games, err
}
