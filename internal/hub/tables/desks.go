package tables

import (
	"context"
	"errors"

	"whistlestop/game/entry"
)

// papersKept is how many versions of a paper stay, so that a mistake can be found. Ours.
const papersKept = 20

const deskVersion = "SELECT COALESCE(MAX(seq), 0) FROM desk_paper WHERE association = ?"

// DeskVersion is the number of the last change of an association's desk; 0: there is none.
func (s *Store) DeskVersion(ctx context.Context, association string) (version int64, err error) {
	err = s.db.Read(ctx, association, func(tx Tx) error {
		_, err := tx.Row(deskVersion, []any{&version}, association)
		return err
	})
	return version, err
}

// DeskPapers are the newest texts of an association's desk by their names, and the number
// of the last change.
func (s *Store) DeskPapers(ctx context.Context, association string) (texts map[string][]byte, version int64, err error) {
	texts = map[string][]byte{}
	err = s.db.Read(ctx, association, func(tx Tx) error {
		if _, err := tx.Row(deskVersion, []any{&version}, association); err != nil {
			return err
		}
		return tx.Rows(`SELECT name, body FROM desk_paper p WHERE association = ? AND seq =
			(SELECT MAX(seq) FROM desk_paper n WHERE n.association = p.association AND n.name = p.name)`,
			func(read func(...any) error) error {
				var name string
				var body []byte
				err := read(&name, &body)
				texts[name] = body
				return err
			}, association)
	})
	return texts, version, err
}

// KeepDesk puts texts in place of those of a desk, all or none, and returns the number of
// the change. After is the number of the change that whoever asks has seen: where there was
// another one since, nothing is kept, and kept says so; below 0 it is kept in any case.
// Forget leaves no earlier version of any paper.
func (s *Store) KeepDesk(ctx context.Context, association string, after int64, forget bool, at entry.Millis, why string, texts map[string][]byte) (version int64, kept bool, err error) {
	err = s.db.Change(ctx, association, func(tx Tx) error {
		if _, err := tx.Row(deskVersion, []any{&version}, association); err != nil {
			return err
		}
		if after >= 0 && version != after {
			return errDeskChanged
		}
		version++
		for name, body := range texts {
			if body == nil {
				body = []byte{}
			}
			if _, err := tx.Exec("INSERT INTO desk_paper (association, seq, name, at, why, body) VALUES (?, ?, ?, ?, ?, ?)",
				association, version, name, millis(at), why, body); err != nil {
				return err
			}
			if _, err := tx.Exec(`DELETE FROM desk_paper WHERE association = ? AND name = ? AND seq NOT IN
				(SELECT seq FROM desk_paper WHERE association = ? AND name = ? ORDER BY seq DESC LIMIT ?)`,
				association, name, association, name, papersKept); err != nil {
				return err
			}
		}
		if !forget {
			return nil
		}
		_, err := tx.Exec(`DELETE FROM desk_paper WHERE association = ? AND seq <
			(SELECT MAX(n.seq) FROM desk_paper n WHERE n.association = desk_paper.association AND n.name = desk_paper.name)`, association)
		return err
	})
	if errors.Is(err, errDeskChanged) {
		return version, false, nil
	}
	return version, err == nil, err
}

// errDeskChanged takes a transaction back.
var errDeskChanged = errors.New("the desk was changed meanwhile")
