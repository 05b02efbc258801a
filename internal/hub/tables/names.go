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
		return tx.Rows("SELECT commitment, naming, text, older FROM player_name WHERE association = ? AND game = ?", func(read func(...any) error) error {
			var n ledgers.Name
			err := read(&n.Commitment, &n.Naming, &n.Text, &n.Older)
			list = append(list, n)
			return err
		}, at.Association, at.Game)
	})
	slices.SortFunc(list, func(a, b ledgers.Name) int { return strings.Compare(a.Commitment, b.Commitment) })
	return list, err
}

// NamedGames returns the games of an association of which names of players are kept.
func (s *Store) NamedGames(ctx context.Context, association string) (games []string, err error) {
	err = s.db.Read(ctx, association, func(tx Tx) (err error) {
		games, err = namedGames(tx, association, "TRUE")
		return err
	})
	return games, err
}

// namedGames are those with names that a condition means.
func namedGames(tx Tx, association, which string, values ...any) (games []string, err error) {
	err = tx.Rows("SELECT DISTINCT game FROM player_name WHERE association = ? AND "+which+" ORDER BY game", func(read func(...any) error) error {
		var game string
		err := read(&game)
		games = append(games, game)
		return err
	}, append([]any{association}, values...)...)
	return games, err
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
			if _, err := tx.Exec("INSERT INTO player_name (association, game, commitment, naming, text, older) VALUES (?, ?, ?, ?, ?, ?)",
				at.Association, at.Game, n.Commitment, n.Naming, n.Text, n.Older); err != nil {
				return err
			}
		}
		return tellNames(tx, at, head)
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
		return tellNames(tx, at, head)
	})
}

// tellNames says that other names of a game are kept: to whoever follows it at another hub,
// and to whoever asks for a stamp.
func tellNames(tx Tx, at ledgers.Where, head ledgers.Head) error {
	if _, err := tx.Exec("UPDATE ledger_head SET named = named + 1 WHERE association = ? AND game = ?", at.Association, at.Game); err != nil {
		return err
	}
	return tx.Tell(at, head.Epoch, 0, 0)
}

// ForgetNaming takes out all names of an association that are shown so, and returns the
// games that had some.
func (s *Store) ForgetNaming(ctx context.Context, association, naming string) (games []string, err error) {
	return s.forgetAll(ctx, association, "naming = ?", naming)
}

// ForgetOlder takes out all names of an association that stood inside lines of version 1,
// and returns the games that had some.
func (s *Store) ForgetOlder(ctx context.Context, association string) (games []string, err error) {
	return s.forgetAll(ctx, association, "older = ?", true)
}

// forgetAll takes out those names of an association that a condition means.
func (s *Store) forgetAll(ctx context.Context, association, which string, value any) (games []string, err error) {
	err = s.db.Change(ctx, association, func(tx Tx) (err error) {
		if games, err = namedGames(tx, association, which, value); err != nil {
			return err
		}
		if _, err := tx.Exec("DELETE FROM player_name WHERE association = ? AND "+which, association, value); err != nil {
			return err
		}
		for _, game := range games {
			at := ledgers.Where{Association: association, Game: game}
			head, err := headOf(tx, at)
			if err == nil {
				err = tellNames(tx, at, head)
			}
			if err != nil {
				return err
			}
		}
		return nil
	})
	return games, err
}
