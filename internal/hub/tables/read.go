package tables

import (
	"context"
	"slices"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/ledgers"
)

// Head returns where a ledger ends.
func (s *Store) Head(ctx context.Context, at ledgers.Where) (head ledgers.Head, err error) {
	err = s.db.Read(ctx, at.Association, func(tx Tx) error {
		head, err = headOf(tx, at)
		return err
	})
	return head, err
}

func headOf(tx Tx, at ledgers.Where) (h ledgers.Head, err error) {
	_, err = tx.Row("SELECT epoch, seq, hash, forked, common FROM ledger_head WHERE association = ? AND game = ?",
		[]any{&h.Epoch, &h.Seq, &h.Hash, &h.Forked, &h.Common}, at.Association, at.Game)
	return h, err
}

// News returns what is new of a game.
func (s *Store) News(ctx context.Context, at ledgers.Where, after, most int) (news ledgers.News, err error) {
	const ask = `SELECT hash, (SELECT count(*) FROM branch b WHERE b.association = e.association AND b.game = e.game)
		FROM entry e WHERE association = ? AND game = ? AND seq = 1`
	err = s.db.Read(ctx, at.Association, func(tx Tx) error {
		if news.Head, err = headOf(tx, at); err != nil || news.Head.Seq == 0 {
			return err
		}
		if _, err = tx.Row(ask, []any{&news.First, &news.Branches}, at.Association, at.Game); err != nil {
			return err
		}
		if most = min(most, news.Head.Shown()-after); most > 0 {
			news.Lines, err = linesOf(tx, askLines, at.Association, at.Game, after, most)
		}
		return err
	})
	return news, err
}

const askLines = `SELECT seq, id, prev, hash, line FROM entry
	WHERE association = ? AND game = ? AND seq > ? ORDER BY seq LIMIT ?`

// Lines returns lines after a place.
func (s *Store) Lines(ctx context.Context, at ledgers.Where, after, most int) (list []ledgers.Line, err error) {
	err = s.db.Read(ctx, at.Association, func(tx Tx) error {
		list, err = linesOf(tx, askLines, at.Association, at.Game, after, most)
		return err
	})
	return list, err
}

func linesOf(tx Tx, ask string, args ...any) (list []ledgers.Line, err error) {
	err = tx.Rows(ask, func(read func(...any) error) error {
		var line ledgers.Line
		err := read(&line.Seq, &line.ID, &line.Prev, &line.Hash, &line.Bytes)
		list = append(list, line)
		return err
	}, args...)
	return list, err
}

// OlderLines returns the lines out of which the hub took texts about people.
func (s *Store) OlderLines(ctx context.Context, at ledgers.Where) (list []ledgers.Older, err error) {
	const ask = "SELECT hash, stands, fingerprint FROM older_line WHERE association = ? AND game = ?"
	err = s.db.Read(ctx, at.Association, func(tx Tx) error {
		return tx.Rows(ask, func(read func(...any) error) error {
			var one ledgers.Older
			err := read(&one.Hash, &one.Stands, &one.Fingerprint)
			list = append(list, one)
			return err
		}, at.Association, at.Game)
	})
	slices.SortFunc(list, func(a, b ledgers.Older) int { return strings.Compare(a.Hash, b.Hash) })
	return list, err
}

// older notes which of some lines are copies without the texts that were hashed.
func older(tx Tx, at ledgers.Where, lines []ledgers.Line, now entry.Millis) error {
	for _, line := range lines {
		if line.Stands == "" {
			continue
		}
		if _, err := tx.Exec(`INSERT INTO older_line (association, game, hash, stands, fingerprint, made) VALUES (?, ?, ?, ?, ?, ?)
			ON CONFLICT (association, game, hash) DO NOTHING`, at.Association, at.Game, line.Hash, line.Stands, line.Fingerprint, millis(now)); err != nil {
			return err
		}
	}
	return nil
}

// HashAt returns the hash of the line at a place.
func (s *Store) HashAt(ctx context.Context, at ledgers.Where, seq int) (hash string, err error) {
	err = s.db.Read(ctx, at.Association, func(tx Tx) error {
		hash, err = hashAt(tx, at, 0, seq)
		return err
	})
	return hash, err
}

func hashAt(tx Tx, at ledgers.Where, branch, seq int) (hash string, err error) {
	if branch == 0 {
		_, err = tx.Row("SELECT hash FROM entry WHERE association = ? AND game = ? AND seq = ?",
			[]any{&hash}, at.Association, at.Game, seq)
		return hash, err
	}
	_, err = tx.Row("SELECT hash FROM entry_branch WHERE association = ? AND game = ? AND number = ? AND seq = ?",
		[]any{&hash}, at.Association, at.Game, branch, seq)
	return hash, err
}

// Branches returns what stands beside a ledger.
func (s *Store) Branches(ctx context.Context, at ledgers.Where) (list []ledgers.Branch, err error) {
	err = s.db.Read(ctx, at.Association, func(tx Tx) error {
		list, err = branchesOf(tx, at)
		return err
	})
	return list, err
}

func branchesOf(tx Tx, at ledgers.Where) (list []ledgers.Branch, err error) {
	const ask = `SELECT number, base, seq, hash, made, decided FROM branch
		WHERE association = ? AND game = ? ORDER BY number`
	err = tx.Rows(ask, func(read func(...any) error) error {
		var b ledgers.Branch
		err := read(&b.Number, &b.Base, &b.Seq, &b.Hash, &b.Made, &b.Decided)
		list = append(list, b)
		return err
	}, at.Association, at.Game)
	return list, err
}

// BranchLines returns the lines of a branch.
func (s *Store) BranchLines(ctx context.Context, at ledgers.Where, branch int) (list []ledgers.Line, err error) {
	const ask = `SELECT seq, id, prev, hash, line FROM entry_branch
		WHERE association = ? AND game = ? AND number = ? ORDER BY seq`
	err = s.db.Read(ctx, at.Association, func(tx Tx) error {
		list, err = linesOf(tx, ask, at.Association, at.Game, branch)
		return err
	})
	return list, err
}

// Games returns all games of an association.
func (s *Store) Games(ctx context.Context, association string) (list []ledgers.Game, err error) {
	const ask = `SELECT game, heard, epoch, seq, hash, forked, common FROM ledger_head
		WHERE association = ? ORDER BY heard DESC, game`
	err = s.db.Read(ctx, association, func(tx Tx) error {
		return tx.Rows(ask, func(read func(...any) error) error {
			var g ledgers.Game
			err := read(&g.ID, &g.Heard, &g.Epoch, &g.Seq, &g.Hash, &g.Forked, &g.Common)
			list = append(list, g)
			return err
		}, association)
	})
	return list, err
}

// Forks is how many games of all associations wait for somebody to choose between two
// versions.
func (s *Store) Forks(ctx context.Context) (count int, err error) {
	err = s.db.ReadAll(ctx, func(tx Tx) error {
		_, err := tx.Row("SELECT count(*) FROM ledger_head WHERE forked <> 0", []any{&count})
		return err
	})
	return count, err
}

// Title returns what was kept for lists of a game that ends so; empty: nothing is.
func (s *Store) Title(ctx context.Context, at ledgers.Where, seq int, hash string) (title []byte, err error) {
	err = s.db.Read(ctx, at.Association, func(tx Tx) error {
		_, err := tx.Row("SELECT title FROM title WHERE association = ? AND game = ? AND seq = ? AND hash = ?",
			[]any{&title}, at.Association, at.Game, seq, hash)
		return err
	})
	return title, err
}

// KeepTitle keeps what lists show of a game that ends so.
func (s *Store) KeepTitle(ctx context.Context, at ledgers.Where, seq int, hash string, title []byte) error {
	return s.db.ChangeGame(ctx, at, func(tx Tx) error {
		_, err := tx.Exec(`INSERT INTO title (association, game, seq, hash, title) VALUES (?, ?, ?, ?, ?)
			ON CONFLICT (association, game) DO UPDATE SET seq = excluded.seq, hash = excluded.hash, title = excluded.title`,
			at.Association, at.Game, seq, hash, string(title))
		return err
	})
}

// Raise begins a new epoch.
func (s *Store) Raise(ctx context.Context, at ledgers.Where, note ledgers.Note) (head ledgers.Head, err error) {
	err = s.db.ChangeGame(ctx, at, func(tx Tx) error {
		touched, err := tx.Exec("UPDATE ledger_head SET epoch = epoch + 1 WHERE association = ? AND game = ?", at.Association, at.Game)
		switch {
		case err != nil:
			return err
		case touched == 0:
			return ledgers.ErrNoGame
		}
		if head, err = headOf(tx, at); err != nil {
			return err
		}
		if err := tx.Tell(at, head.Epoch, 0, 0); err != nil {
			return err
		}
		return writeNote(tx, at.Association, note)
	})
	return head, err
}

func millis(m entry.Millis) int64 { return int64(m) }
