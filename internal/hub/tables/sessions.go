package tables

import (
	"context"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/people"
)

// Invite keeps an invitation.
func (s *Store) Invite(ctx context.Context, association string, i people.Invitation, hash string, note ledgers.Note) error {
	return s.db.Change(ctx, association, func(tx Tx) error {
		_, err := tx.Exec(`INSERT INTO invitation (association, id, hash, role, team, division, inviter, made, expires) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)`,
			association, i.ID, hash, string(i.To.Role), i.To.Team, i.To.Division, i.Inviter, millis(i.Made), millis(i.Expires))
		if err != nil {
			return err
		}
		return writeNote(tx, association, note)
	})
}

func (s *Store) invitations(ctx context.Context, which, association string, args ...any) (list []people.Invitation, err error) {
	err = s.db.Read(ctx, association, func(tx Tx) error {
		return tx.Rows("SELECT id, role, team, division, inviter, made, expires, ended FROM invitation WHERE association = ? "+which,
			func(read func(...any) error) error {
				var i people.Invitation
				err := read(&i.ID, &i.To.Role, &i.To.Team, &i.To.Division, &i.Inviter, &i.Made, &i.Expires, &i.Ended)
				list = append(list, i)
				return err
			}, append([]any{association}, args...)...)
	})
	return list, err
}

// Invitation finds one by the hash of its secret.
func (s *Store) Invitation(ctx context.Context, association, hash string) (i people.Invitation, err error) {
	list, err := s.invitations(ctx, "AND hash = ?", association, hash)
	if err == nil && len(list) > 0 {
		i = list[0]
	}
	return i, err
}

// Invitations returns all.
func (s *Store) Invitations(ctx context.Context, association string) ([]people.Invitation, error) {
	return s.invitations(ctx, "ORDER BY made DESC, id", association)
}

// EndInvitation takes one back.
func (s *Store) EndInvitation(ctx context.Context, association, id string, note ledgers.Note) error {
	return s.end(ctx, "UPDATE invitation SET ended = ? WHERE association = ? AND id = ? AND ended = 0", association, id, note)
}

// end carries out a statement that ends something, with a line in the log.
func (s *Store) end(ctx context.Context, text, association, id string, note ledgers.Note) error {
	return s.db.Change(ctx, association, func(tx Tx) error {
		touched, err := tx.Exec(text, millis(note.At), association, id)
		if err := gone(touched, err); err != nil {
			return err
		}
		return writeNote(tx, association, note)
	})
}

func openSession(tx Tx, association string, session people.Session, hash string) error {
	_, err := tx.Exec("INSERT INTO session (association, id, person, hash, how, made, seen, proved, expires) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
		association, session.ID, session.Person, hash, string(session.How),
		millis(session.Made), millis(session.Seen), millis(session.Proved), millis(session.Expires))
	return err
}

// Open keeps a session.
func (s *Store) Open(ctx context.Context, association string, session people.Session, hash string, note ledgers.Note) error {
	return s.db.Change(ctx, association, func(tx Tx) error {
		if err := openSession(tx, association, session, hash); err != nil {
			return err
		}
		return writeNote(tx, association, note)
	})
}

func (s *Store) sessions(ctx context.Context, which, association string, args ...any) (list []people.Session, err error) {
	err = s.db.Read(ctx, association, func(tx Tx) error {
		return tx.Rows("SELECT id, person, how, made, seen, proved, expires, ended FROM session WHERE association = ? "+which,
			func(read func(...any) error) error {
				var one people.Session
				err := read(&one.ID, &one.Person, &one.How, &one.Made, &one.Seen, &one.Proved, &one.Expires, &one.Ended)
				list = append(list, one)
				return err
			}, append([]any{association}, args...)...)
	})
	return list, err
}

// Session finds one by the hash of its secret.
func (s *Store) Session(ctx context.Context, association, hash string) (one people.Session, err error) {
	list, err := s.sessions(ctx, "AND hash = ?", association, hash)
	if err == nil && len(list) > 0 {
		one = list[0]
	}
	return one, err
}

// Sessions returns those of a person, or of everybody.
func (s *Store) Sessions(ctx context.Context, association, person string) ([]people.Session, error) {
	return s.sessions(ctx, "AND (person = ? OR ? = '') ORDER BY made DESC, id", association, person, person)
}

// SeenAt notes when a session was used.
func (s *Store) SeenAt(ctx context.Context, association, id string, at entry.Millis) error {
	return s.db.Change(ctx, association, func(tx Tx) error {
		_, err := tx.Exec("UPDATE session SET seen = ? WHERE association = ? AND id = ?", millis(at), association, id)
		return err
	})
}

// Prove notes that who is signed in showed who they are.
func (s *Store) Prove(ctx context.Context, association, id, hash string, how people.How, note ledgers.Note) error {
	return s.db.Change(ctx, association, func(tx Tx) error {
		touched, err := tx.Exec("UPDATE session SET hash = ?, how = ?, seen = ?, proved = ? WHERE association = ? AND id = ? AND ended = 0",
			hash, string(how), millis(note.At), millis(note.At), association, id)
		if err := gone(touched, err); err != nil {
			return err
		}
		return writeNote(tx, association, note)
	})
}

// EndSession ends one.
func (s *Store) EndSession(ctx context.Context, association, id string, note ledgers.Note) error {
	return s.end(ctx, "UPDATE session SET ended = ? WHERE association = ? AND id = ? AND ended = 0", association, id, note)
}
