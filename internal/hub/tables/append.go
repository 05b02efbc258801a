package tables

import (
	"context"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/ledgers"
)

// Append takes lines of a bench, in one transaction.
func (s *Store) Append(
	ctx context.Context, at ledgers.Where, epoch int, lines []ledgers.Line, now entry.Millis,
) (head ledgers.Head, err error) {
	var fork *ledgers.ForkError
	err = s.db.ChangeGame(ctx, at, func(tx Tx) error {
		fork = nil
		if head, err = headOf(tx, at); err != nil {
			return err
		}
		if epoch < head.Epoch {
			return &ledgers.FencedError{Epoch: head.Epoch}
		}
		if len(lines) == 0 {
			return nil
		}
		if head.Seq > 0 && lines[0].Seq == head.Seq+1 && lines[0].Prev == head.Hash {
			return extend(tx, at, &head, epoch, lines, now) // as nearly always
		}
		branches, err := branchesOf(tx, at)
		if err != nil {
			return err
		}
		place, err := ledgers.Place(head, branches, lines, func(branch, seq int) (string, error) {
			return hashAt(tx, at, branch, seq)
		})
		if err != nil {
			return err
		}
		if fork = place.Fork; fork == nil {
			return extend(tx, at, &head, epoch, place.Lines, now)
		}
		return beside(tx, at, &head, branches, place, epoch, now)
	})
	if err == nil && fork != nil {
		return head, fork
	}
	return head, err
}

// extend puts lines at the end of a ledger, which may be none.
func extend(tx Tx, at ledgers.Where, head *ledgers.Head, epoch int, lines []ledgers.Line, now entry.Millis) error {
	if len(lines) == 0 {
		return nil
	}
	if head.Seq == 0 {
		if _, err := tx.Exec(`INSERT INTO ledger_head (association, game, epoch, seq, hash, heard) VALUES (?, ?, ?, 0, '', ?)`,
			at.Association, at.Game, epoch, millis(now)); err != nil {
			return err
		}
	}
	for _, line := range lines {
		added, err := tx.Exec(`INSERT INTO entry (association, game, seq, epoch, id, prev, hash, line) VALUES (?, ?, ?, ?, ?, ?, ?, ?)
			ON CONFLICT (association, game, id) DO NOTHING`,
			at.Association, at.Game, line.Seq, epoch, line.ID, line.Prev, line.Hash, line.Bytes)
		switch {
		case err != nil:
			return err
		case added == 0:
			return &ledgers.TwiceError{ID: line.ID}
		}
	}
	if err := older(tx, at, lines, now); err != nil {
		return err
	}
	last := lines[len(lines)-1]
	head.Epoch, head.Seq, head.Hash = epoch, last.Seq, last.Hash
	_, err := tx.Exec("UPDATE ledger_head SET epoch = ?, seq = ?, hash = ?, heard = ? WHERE association = ? AND game = ?",
		epoch, last.Seq, last.Hash, millis(now), at.Association, at.Game)
	if err != nil {
		return err
	}
	return tx.Tell(at, epoch, lines[0].Seq, last.Seq)
}

// beside keeps lines that others stand in the places of.
func beside(
	tx Tx, at ledgers.Where, head *ledgers.Head, branches []ledgers.Branch, place ledgers.Placing, epoch int, now entry.Millis,
) error {
	number, end := place.Branch, len(place.Lines)-1
	if place.New {
		number = 1
		for _, b := range branches {
			number = max(number, b.Number+1)
		}
		if _, err := tx.Exec("INSERT INTO branch (association, game, number, base, seq, hash, made) VALUES (?, ?, ?, ?, 0, '', ?)",
			at.Association, at.Game, number, place.Base, millis(now)); err != nil {
			return err
		}
		if _, err := tx.Exec(`INSERT INTO entry_branch (association, game, number, seq, epoch, id, prev, hash, line)
			SELECT association, game, ?, seq, epoch, id, prev, hash, line FROM entry_branch
			WHERE association = ? AND game = ? AND number = ? AND seq < ?`,
			number, at.Association, at.Game, place.Begins, place.Lines[0].Seq); err != nil {
			return err
		}
		if err := hold(tx, at, head, place.Base-1); err != nil {
			return err
		}
	}
	if end < 0 {
		return nil // all of it is there
	}
	for _, line := range place.Lines {
		if _, err := tx.Exec(`INSERT INTO entry_branch (association, game, number, seq, epoch, id, prev, hash, line)
			VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)`,
			at.Association, at.Game, number, line.Seq, epoch, line.ID, line.Prev, line.Hash, line.Bytes); err != nil {
			return err
		}
	}
	if err := older(tx, at, place.Lines, now); err != nil {
		return err
	}
	_, err := tx.Exec("UPDATE branch SET seq = ?, hash = ? WHERE association = ? AND game = ? AND number = ?",
		place.Lines[end].Seq, place.Lines[end].Hash, at.Association, at.Game, number)
	return err
}

// hold shows a game up to the last entry that all have.
func hold(tx Tx, at ledgers.Where, head *ledgers.Head, common int) error {
	if head.Forked {
		common = min(common, head.Common)
	}
	head.Forked, head.Common = true, common
	_, err := tx.Exec("UPDATE ledger_head SET forked = 1, common = ? WHERE association = ? AND game = ?",
		common, at.Association, at.Game)
	if err != nil {
		return err
	}
	return tx.Tell(at, head.Epoch, 0, 0)
}

// Choose decides a fork.
func (s *Store) Choose(ctx context.Context, at ledgers.Where, branch int, note ledgers.Note) (head ledgers.Head, err error) {
	err = s.db.ChangeGame(ctx, at, func(tx Tx) error {
		if head, err = headOf(tx, at); err != nil {
			return err
		}
		if head.Seq == 0 {
			return ledgers.ErrNoGame
		}
		branches, err := branchesOf(tx, at)
		if err != nil {
			return err
		}
		if branch != 0 {
			if err := swap(tx, at, &head, branches, branch); err != nil {
				return err
			}
		}
		head.Forked, head.Common = false, 0
		if _, err := tx.Exec("UPDATE ledger_head SET forked = 0, common = 0, seq = ?, hash = ? WHERE association = ? AND game = ?",
			head.Seq, head.Hash, at.Association, at.Game); err != nil {
			return err
		}
		if _, err := tx.Exec("UPDATE branch SET decided = 1 WHERE association = ? AND game = ?", at.Association, at.Game); err != nil {
			return err
		}
		if err := tx.Tell(at, head.Epoch, 0, 0); err != nil {
			return err
		}
		return writeNote(tx, at.Association, note)
	})
	return head, err
}

// swap puts a branch in the places of the lines that stand there, which become the
// branch of that number.
func swap(tx Tx, at ledgers.Where, head *ledgers.Head, branches []ledgers.Branch, number int) error {
	var chosen ledgers.Branch
	for _, b := range branches {
		if b.Number == number {
			chosen = b
		}
	}
	if chosen.Number == 0 {
		return ledgers.ErrNoBranch
	}
	// A branch that parted later than this one parted from lines that are about to go.
	for _, b := range branches {
		if b.Base <= chosen.Base || b.Number == number {
			continue
		}
		if _, err := tx.Exec(`INSERT INTO entry_branch (association, game, number, seq, epoch, id, prev, hash, line)
			SELECT association, game, ?, seq, epoch, id, prev, hash, line FROM entry
			WHERE association = ? AND game = ? AND seq >= ? AND seq < ?`,
			b.Number, at.Association, at.Game, chosen.Base, b.Base); err != nil {
			return err
		}
		if _, err := tx.Exec("UPDATE branch SET base = ? WHERE association = ? AND game = ? AND number = ?",
			chosen.Base, at.Association, at.Game, b.Number); err != nil {
			return err
		}
	}
	return exchange(tx, at, head, chosen, branches[len(branches)-1].Number+1)
}

// exchange makes the ledger's lines from the base of a branch on a new branch, and puts
// those of the branch in their places.
func exchange(tx Tx, at ledgers.Where, head *ledgers.Head, chosen ledgers.Branch, number int) error {
	game := []any{at.Association, at.Game}
	for _, step := range []struct {
		text string
		args []any
	}{
		{`INSERT INTO branch (association, game, number, base, seq, hash, made) VALUES (?, ?, ?, ?, ?, ?, ?)`,
			append(game[:2:2], number, chosen.Base, head.Seq, head.Hash, millis(chosen.Made))},
		{`INSERT INTO entry_branch (association, game, number, seq, epoch, id, prev, hash, line)
			SELECT association, game, ?, seq, epoch, id, prev, hash, line FROM entry WHERE association = ? AND game = ? AND seq >= ?`,
			[]any{number, at.Association, at.Game, chosen.Base}},
	} {
		if _, err := tx.Exec(step.text, step.args...); err != nil {
			return err
		}
	}
	if err := tx.TakeOut(at, chosen.Base); err != nil {
		return err
	}
	moved, err := tx.Exec(`INSERT INTO entry (association, game, seq, epoch, id, prev, hash, line)
		SELECT association, game, seq, epoch, id, prev, hash, line FROM entry_branch
		WHERE association = ? AND game = ? AND number = ? ON CONFLICT (association, game, id) DO NOTHING`,
		append(game[:2:2], chosen.Number)...)
	switch {
	case err != nil:
		return err
	case int(moved) != chosen.Seq-chosen.Base+1:
		return &ledgers.TwiceError{}
	}
	for _, text := range []string{
		"DELETE FROM entry_branch WHERE association = ? AND game = ? AND number = ?",
		"DELETE FROM branch WHERE association = ? AND game = ? AND number = ?",
	} {
		if _, err := tx.Exec(text, append(game[:2:2], chosen.Number)...); err != nil {
			return err
		}
	}
	head.Seq, head.Hash = chosen.Seq, chosen.Hash
	return nil
}
