package tables

import (
	"context"

	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/people"
)

// KeepIdentity links who somebody is at another service with a person.
func (s *Store) KeepIdentity(ctx context.Context, association string, i people.Identity, note ledgers.Note) error {
	return s.db.Change(ctx, association, func(tx Tx) error {
		added, err := tx.Exec(`INSERT INTO identity (association, issuer, subject, person, made) VALUES (?, ?, ?, ?, ?)
			ON CONFLICT (association, issuer, subject) DO NOTHING`, association, i.Issuer, i.Subject, i.Person, millis(i.Made))
		if err == nil && added == 0 {
			err = people.ErrTaken
		}
		if err != nil {
			return err
		}
		return writeNote(tx, association, note)
	})
}

// Identity finds one.
func (s *Store) Identity(ctx context.Context, association, issuer, subject string) (i people.Identity, err error) {
	err = s.db.Read(ctx, association, func(tx Tx) error {
		_, err := tx.Row("SELECT issuer, subject, person, made FROM identity WHERE association = ? AND issuer = ? AND subject = ?",
			[]any{&i.Issuer, &i.Subject, &i.Person, &i.Made}, association, issuer, subject)
		return err
	})
	return i, err
}

// Identities returns those of a person.
func (s *Store) Identities(ctx context.Context, association, person string) (list []people.Identity, err error) {
	err = s.db.Read(ctx, association, func(tx Tx) error {
		return tx.Rows("SELECT issuer, subject, person, made FROM identity WHERE association = ? AND person = ? ORDER BY made, issuer, subject",
			func(read func(...any) error) error {
				var i people.Identity
				err := read(&i.Issuer, &i.Subject, &i.Person, &i.Made)
				list = append(list, i)
				return err
			}, association, person)
	})
	return list, err
}

// EndIdentities takes all of an issuer from a person.
func (s *Store) EndIdentities(ctx context.Context, association, person, issuer string, note ledgers.Note) error {
	return s.db.Change(ctx, association, func(tx Tx) error {
		if err := gone(tx.Exec("DELETE FROM identity WHERE association = ? AND person = ? AND issuer = ?", association, person, issuer)); err != nil {
			return err
		}
		return writeNote(tx, association, note)
	})
}
