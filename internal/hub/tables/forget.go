package tables

import (
	"context"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/people"
)

// Forget deletes a person and all that is kept of them.
func (s *Store) Forget(ctx context.Context, association, person string, last bool, note ledgers.Note) error {
	return s.db.Change(ctx, association, func(tx Tx) error {
		if !last {
			if err := lastAdmin(tx, association, person); err != nil {
				return err
			}
		}
		if _, err := tx.Exec("UPDATE invitation SET ended = ? WHERE association = ? AND inviter = ? AND ended = 0",
			millis(note.At), association, person); err != nil {
			return err
		}
		for _, text := range []string{
			"DELETE FROM ticket WHERE association = ? AND person = ?", "DELETE FROM passkey WHERE association = ? AND person = ?",
			"DELETE FROM identity WHERE association = ? AND person = ?",
			"DELETE FROM session WHERE association = ? AND person = ?", "DELETE FROM membership WHERE association = ? AND person = ?",
			"DELETE FROM managed WHERE association = ? AND person = ?",
		} {
			if _, err := tx.Exec(text, association, person); err != nil {
				return err
			}
		}
		if err := gone(tx.Exec("DELETE FROM person WHERE association = ? AND id = ?", association, person)); err != nil {
			return err
		}
		if err := noteDeletion(tx, association, person, note.At); err != nil {
			return err
		}
		return writeNote(tx, association, note)
	})
}

func noteDeletion(tx Tx, association, person string, at entry.Millis) error {
	_, err := tx.Exec("INSERT INTO deletion (association, person, at) VALUES (?, ?, ?) ON CONFLICT (association, person) DO NOTHING",
		association, person, millis(at))
	return err
}

// Deletions returns whom somebody deleted.
func (s *Store) Deletions(ctx context.Context, association string) (list []people.Deletion, err error) {
	err = s.db.Read(ctx, association, func(tx Tx) error {
		return tx.Rows("SELECT person, at FROM deletion WHERE association = ? ORDER BY at, person", func(read func(...any) error) error {
			d := people.Deletion{Association: association}
			err := read(&d.Person, &d.At)
			list = append(list, d)
			return err
		}, association)
	})
	return list, err
}

// Prune drops what is kept no longer.
func (s *Store) Prune(ctx context.Context, association string, logBefore, endedBefore entry.Millis, note ledgers.Note) (lines int, err error) {
	err = s.db.Change(ctx, association, func(tx Tx) error {
		for _, text := range []string{
			"DELETE FROM invitation WHERE association = ? AND (expires < ? OR ended > 0 AND ended < ?)",
			"DELETE FROM session WHERE association = ? AND (expires < ? OR ended > 0 AND ended < ?)",
			"DELETE FROM ticket WHERE association = ? AND (expires < ? OR used > 0 AND used < ?)",
		} {
			if _, err := tx.Exec(text, association, millis(endedBefore), millis(endedBefore)); err != nil {
				return err
			}
		}
		// The beginning of the chain goes, and nothing out of its middle: up to the first
		// line that stays. The newest line always does.
		first, through := 0, 0
		if _, err := tx.Row(`SELECT coalesce(min(seq), 0), coalesce(min(CASE WHEN at >= ? THEN seq END), max(seq), 1) - 1
			FROM audit WHERE association = ?`, []any{&first, &through}, millis(logBefore), association); err != nil {
			return err
		}
		if lines = max(0, through-first+1); first == 0 || lines == 0 {
			lines = 0
			return nil
		}
		if err := tx.ForgetLog(association, through); err != nil {
			return err
		}
		return writeNote(tx, association, note)
	})
	return lines, err
}

// LogEnds returns the places of the first and the newest line of the log that are there;
// 0: there is none.
func (s *Store) LogEnds(ctx context.Context, association string) (first, newest int, err error) {
	err = s.db.Read(ctx, association, func(tx Tx) error {
		_, err := tx.Row("SELECT coalesce(min(seq), 0), coalesce(max(seq), 0) FROM audit WHERE association = ?", []any{&first, &newest}, association)
		return err
	})
	return first, newest, err
}

// LastDone returns when something was done last by the log; 0: never.
func (s *Store) LastDone(ctx context.Context, association, what string) (at entry.Millis, err error) {
	err = s.db.Read(ctx, association, func(tx Tx) error {
		_, err := tx.Row("SELECT coalesce(max(at), 0) FROM audit WHERE association = ? AND what = ?", []any{&at}, association, what)
		return err
	})
	return at, err
}

var _ interface {
	office.Store
	people.Store
} = (*Store)(nil)
