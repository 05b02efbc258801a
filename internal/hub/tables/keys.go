package tables

import (
	"context"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/people"
)

// KeepKey keeps a passkey.
func (s *Store) KeepKey(ctx context.Context, association string, k people.Key, note ledgers.Note) error {
	return s.db.Change(ctx, association, func(tx Tx) error {
		added, err := tx.Exec(`INSERT INTO passkey (association, id, person, handle, label, made, data) VALUES (?, ?, ?, ?, ?, ?, ?)
			ON CONFLICT (association, id) DO NOTHING`, association, k.ID, k.Person, k.Handle, k.Label, millis(k.Made), k.Data)
		if err == nil && added == 0 {
			err = people.ErrTaken
		}
		if err != nil {
			return err
		}
		return writeNote(tx, association, note)
	})
}

func (s *Store) keys(ctx context.Context, which, association, value string) (list []people.Key, err error) {
	err = s.db.Read(ctx, association, func(tx Tx) error {
		return tx.Rows("SELECT id, person, handle, label, made, used, data FROM passkey WHERE association = ? "+which,
			func(read func(...any) error) error {
				var k people.Key
				err := read(&k.ID, &k.Person, &k.Handle, &k.Label, &k.Made, &k.Used, &k.Data)
				list = append(list, k)
				return err
			}, association, value)
	})
	return list, err
}

// Keys returns those of a person.
func (s *Store) Keys(ctx context.Context, association, person string) ([]people.Key, error) {
	return s.keys(ctx, "AND person = ? ORDER BY made, id", association, person)
}

// Key finds one by its id.
func (s *Store) Key(ctx context.Context, association, id string) (k people.Key, err error) {
	list, err := s.keys(ctx, "AND id = ?", association, id)
	if err == nil && len(list) > 0 {
		k = list[0]
	}
	return k, err
}

// UsedKey notes that a passkey was shown.
func (s *Store) UsedKey(ctx context.Context, association, id string, data []byte, at entry.Millis) error {
	return s.db.Change(ctx, association, func(tx Tx) error {
		return gone(tx.Exec("UPDATE passkey SET data = ?, used = ? WHERE association = ? AND id = ?", data, millis(at), association, id))
	})
}

// EndKey takes a passkey from a person.
func (s *Store) EndKey(ctx context.Context, association, person, id string, note ledgers.Note) error {
	return s.db.Change(ctx, association, func(tx Tx) error {
		if err := gone(tx.Exec("DELETE FROM passkey WHERE association = ? AND person = ? AND id = ?", association, person, id)); err != nil {
			return err
		}
		return writeNote(tx, association, note)
	})
}

// ticketsKept is for how long, in milliseconds, an ended ticket is counted still: those
// of an hour.
const ticketsKept = 3_600_000

// KeepTicket keeps something that is good once.
func (s *Store) KeepTicket(ctx context.Context, association string, t people.Ticket, hash string) error {
	return s.db.Change(ctx, association, func(tx Tx) error {
		if _, err := tx.Exec("DELETE FROM ticket WHERE association = ? AND expires <= ?", association, millis(t.Made)-ticketsKept); err != nil {
			return err
		}
		_, err := tx.Exec("INSERT INTO ticket (association, hash, kind, person, data, made, expires) VALUES (?, ?, ?, ?, ?, ?, ?)",
			association, hash, string(t.Kind), t.Person, append([]byte{}, t.Data...), millis(t.Made), millis(t.Expires))
		return err
	})
}

// Ticket finds one that is good.
func (s *Store) Ticket(ctx context.Context, association string, kind people.TicketKind, hash string, at entry.Millis) (t people.Ticket, err error) {
	err = s.db.Read(ctx, association, func(tx Tx) error {
		t, err = ticketOf(tx, association, kind, hash, at)
		return err
	})
	return t, err
}

func ticketOf(tx Tx, association string, kind people.TicketKind, hash string, at entry.Millis) (t people.Ticket, err error) {
	there, err := tx.Row(`SELECT kind, person, data, made, expires FROM ticket
		WHERE association = ? AND kind = ? AND hash = ? AND used = 0 AND expires > ?`,
		[]any{&t.Kind, &t.Person, &t.Data, &t.Made, &t.Expires}, association, string(kind), hash, millis(at))
	if err == nil && !there {
		err = people.ErrGone
	}
	return t, err
}

// TakeTicket is Ticket, once.
func (s *Store) TakeTicket(ctx context.Context, association string, kind people.TicketKind, hash string, at entry.Millis) (t people.Ticket, err error) {
	err = s.db.Change(ctx, association, func(tx Tx) error {
		if t, err = ticketOf(tx, association, kind, hash, at); err != nil {
			return err
		}
		_, err := tx.Exec("UPDATE ticket SET used = ? WHERE association = ? AND hash = ?", millis(at), association, hash)
		return err
	})
	return t, err
}

// Tickets counts those of a kind that a person was given since an instant.
func (s *Store) Tickets(ctx context.Context, association string, kind people.TicketKind, person string, since entry.Millis) (count int, err error) {
	err = s.db.Read(ctx, association, func(tx Tx) error {
		_, err := tx.Row("SELECT count(*) FROM ticket WHERE association = ? AND kind = ? AND person = ? AND made > ?",
			[]any{&count}, association, string(kind), person, millis(since))
		return err
	})
	return count, err
}
