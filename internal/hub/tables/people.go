package tables

import (
	"context"

	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/people"
)

// Person returns one with their roles.
func (s *Store) Person(ctx context.Context, association, id string) (p people.Person, err error) {
	err = s.db.Read(ctx, association, func(tx Tx) error {
		p, err = personOf(tx, association, id)
		return err
	})
	return p, err
}

func personOf(tx Tx, association, id string) (p people.Person, err error) {
	_, err = tx.Row("SELECT id, name, address, made FROM person WHERE association = ? AND id = ?",
		[]any{&p.ID, &p.Name, &p.Address, &p.Made}, association, id)
	if err != nil || p.ID == "" {
		return p, err
	}
	err = tx.Rows(`SELECT role, team, '' AS division FROM membership WHERE association = ? AND person = ?
		UNION ALL SELECT 'manager', team, division FROM managed WHERE association = ? AND person = ? ORDER BY role, team, division`,
		func(read func(...any) error) error {
			var m people.Membership
			err := read(&m.Role, &m.Team, &m.Division)
			p.Roles = append(p.Roles, m)
			return err
		}, association, id, association, id)
	return p, err
}

// Everybody returns all.
func (s *Store) Everybody(ctx context.Context, association string) (list []people.Person, err error) {
	err = s.db.Read(ctx, association, func(tx Tx) error {
		places := map[string]int{}
		err := tx.Rows("SELECT id, name, address, made FROM person WHERE association = ? ORDER BY name, id",
			func(read func(...any) error) error {
				var p people.Person
				err := read(&p.ID, &p.Name, &p.Address, &p.Made)
				places[p.ID] = len(list)
				list = append(list, p)
				return err
			}, association)
		if err != nil {
			return err
		}
		return tx.Rows(`SELECT person, role, team, '' AS division FROM membership WHERE association = ?
			UNION ALL SELECT person, 'manager', team, division FROM managed WHERE association = ? ORDER BY role, team, division`,
			func(read func(...any) error) error {
				var id string
				var m people.Membership
				err := read(&id, &m.Role, &m.Team, &m.Division)
				p := &list[places[id]]
				p.Roles = append(p.Roles, m)
				return err
			}, association, association)
	})
	return list, err
}

// taken reports whether an address is that of somebody else.
func taken(tx Tx, association string, p people.Person) error {
	there, err := false, error(nil)
	if p.Address != "" {
		var id string
		there, err = tx.Row("SELECT id FROM person WHERE association = ? AND address = ? AND id <> ?", []any{&id}, association, p.Address, p.ID)
	}
	if err == nil && there {
		err = people.ErrTaken
	}
	return err
}

// Join makes a person, or gives one that is there a role.
func (s *Store) Join(ctx context.Context, association string, j people.Joining, note ledgers.Note) error {
	return s.db.Change(ctx, association, func(tx Tx) error {
		if j.Invitation != "" {
			used, err := tx.Exec("UPDATE invitation SET ended = ? WHERE association = ? AND id = ? AND ended = 0 AND expires > ?",
				millis(note.At), association, j.Invitation, millis(note.At))
			if err := gone(used, err); err != nil {
				return err
			}
		}
		p, err := personOf(tx, association, j.Person.ID)
		if err != nil {
			return err
		}
		if p.ID == "" {
			if err := taken(tx, association, j.Person); err != nil {
				return err
			}
			if _, err := tx.Exec("INSERT INTO person (association, id, name, address, made) VALUES (?, ?, ?, ?, ?)",
				association, j.Person.ID, j.Person.Name, j.Person.Address, millis(j.Person.Made)); err != nil {
				return err
			}
		}
		for _, m := range j.Membership {
			if err := give(tx, association, j.Person.ID, m); err != nil {
				return err
			}
		}
		if j.Session.ID != "" {
			if err := openSession(tx, association, j.Session, j.Hash); err != nil {
				return err
			}
		}
		return writeNote(tx, association, note)
	})
}

// give gives a person a role that they may have already. Those of one division stand by
// themselves: see the step that made their table.
func give(tx Tx, association, person string, m people.Membership) (err error) {
	if m.Division != "" {
		_, err = tx.Exec("INSERT INTO managed (association, person, team, division) VALUES (?, ?, ?, ?) ON CONFLICT DO NOTHING",
			association, person, m.Team, m.Division)
		return err
	}
	_, err = tx.Exec("INSERT INTO membership (association, person, role, team) VALUES (?, ?, ?, ?) ON CONFLICT DO NOTHING",
		association, person, string(m.Role), m.Team)
	return err
}

// take takes a role from a person. It returns ErrGone where there is no such role.
func take(tx Tx, association, person string, m people.Membership) error {
	if m.Division != "" {
		return gone(tx.Exec("DELETE FROM managed WHERE association = ? AND person = ? AND team = ? AND division = ?",
			association, person, m.Team, m.Division))
	}
	return gone(tx.Exec("DELETE FROM membership WHERE association = ? AND person = ? AND role = ? AND team = ?",
		association, person, string(m.Role), m.Team))
}

// gone is ErrGone where a statement touched nothing.
func gone(touched int64, err error) error {
	if err == nil && touched == 0 {
		err = people.ErrGone
	}
	return err
}

// Correct gives a person another name and address.
func (s *Store) Correct(ctx context.Context, association string, p people.Person, note ledgers.Note) error {
	return s.db.Change(ctx, association, func(tx Tx) error {
		if err := taken(tx, association, p); err != nil {
			return err
		}
		touched, err := tx.Exec("UPDATE person SET name = ?, address = ? WHERE association = ? AND id = ?", p.Name, p.Address, association, p.ID)
		if err := gone(touched, err); err != nil {
			return err
		}
		return writeNote(tx, association, note)
	})
}

// lastAdmin says no where nobody but a person is an admin.
func lastAdmin(tx Tx, association, person string) error {
	var others, own int
	_, err := tx.Row(`SELECT count(*) FILTER (WHERE person <> ?), count(*) FILTER (WHERE person = ?)
		FROM membership WHERE association = ? AND role = ?`, []any{&others, &own}, person, person, association, string(people.Admin))
	if err == nil && own > 0 && others == 0 {
		err = people.ErrLastAdmin
	}
	return err
}

// Leave takes a role from a person.
func (s *Store) Leave(ctx context.Context, association, person string, m people.Membership, note ledgers.Note) error {
	return s.db.Change(ctx, association, func(tx Tx) error {
		if m.Role == people.Admin {
			if err := lastAdmin(tx, association, person); err != nil {
				return err
			}
		}
		if err := take(tx, association, person, m); err != nil {
			return err
		}
		if _, err := tx.Exec(`UPDATE session SET ended = ? WHERE association = ? AND person = ? AND ended = 0
			AND NOT EXISTS (SELECT 1 FROM membership WHERE association = ? AND person = ?)
			AND NOT EXISTS (SELECT 1 FROM managed WHERE association = ? AND person = ?)`,
			millis(note.At), association, person, association, person, association, person); err != nil {
			return err
		}
		return writeNote(tx, association, note)
	})
}
