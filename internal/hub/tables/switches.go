package tables

import (
	"context"
	"fmt"

	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/office"
)

// Switches returns what an association turned on.
func (s *Store) Switches(ctx context.Context, association string) (map[office.Switch]bool, error) {
	on := map[office.Switch]bool{}
	err := s.db.Read(ctx, association, func(tx Tx) error {
		return tx.Rows("SELECT name FROM switch WHERE association = ?", func(read func(...any) error) error {
			var name string
			err := read(&name)
			on[office.Switch(name)] = true
			return err
		}, association)
	})
	return on, err
}

// Turn turns one on or off.
func (s *Store) Turn(ctx context.Context, association string, what office.Switch, on bool, note ledgers.Note) error {
	return s.db.Change(ctx, association, func(tx Tx) error {
		var err error
		if on {
			_, err = tx.Exec("INSERT INTO switch (association, name, made) VALUES (?, ?, ?) ON CONFLICT (association, name) DO NOTHING",
				association, string(what), millis(note.At))
		} else {
			_, err = tx.Exec("DELETE FROM switch WHERE association = ? AND name = ?", association, string(what))
		}
		if err != nil {
			return err
		}
		return writeNote(tx, association, note)
	})
}

// Stamp names what an association's games, log and decisions are at the moment: another
// text whenever a line came in, a fork was found or decided, other names of players are
// kept, or somebody did something that is in the log. It is one question, however many games there are.
func (s *Store) Stamp(ctx context.Context, association string) (stamp string, err error) {
	err = s.db.Read(ctx, association, func(tx Tx) error {
		var games, lines, epochs, held, named, branches, log int64
		if _, err := tx.Row(`SELECT COUNT(*), CAST(COALESCE(SUM(seq), 0) AS BIGINT), CAST(COALESCE(SUM(epoch), 0) AS BIGINT),
			CAST(COALESCE(SUM(forked * (common + 1)), 0) AS BIGINT), CAST(COALESCE(SUM(named), 0) AS BIGINT)
			FROM ledger_head WHERE association = ?`, []any{&games, &lines, &epochs, &held, &named}, association); err != nil {
			return err
		}
		if _, err := tx.Row("SELECT CAST(COALESCE(SUM(seq + 1), 0) AS BIGINT) FROM branch WHERE association = ?", []any{&branches}, association); err != nil {
			return err
		}
		if _, err := tx.Row("SELECT COALESCE(MAX(seq), 0) FROM audit WHERE association = ?", []any{&log}, association); err != nil {
			return err
		}
		stamp = fmt.Sprintf("%d.%d.%d.%d.%d.%d.%d", games, lines, epochs, held, named, branches, log)
		return nil
	})
	return stamp, err
}
