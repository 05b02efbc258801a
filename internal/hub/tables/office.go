package tables

import (
	"context"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/office"
)

// Associations returns those that are there.
func (s *Store) Associations(ctx context.Context) (list []office.Association, err error) {
	err = s.db.ReadAll(ctx, func(tx Tx) error {
		return tx.Rows("SELECT id, name, made FROM association ORDER BY made, id", func(read func(...any) error) error {
			var a office.Association
			err := read(&a.ID, &a.Name, &a.Made)
			list = append(list, a)
			return err
		})
	})
	return list, err
}

// Found makes an association, or gives one another name.
func (s *Store) Found(ctx context.Context, a office.Association, note ledgers.Note) error {
	return s.db.Change(ctx, a.ID, func(tx Tx) error {
		_, err := tx.Exec(`INSERT INTO association (id, name, made) VALUES (?, ?, ?)
			ON CONFLICT (id) DO UPDATE SET name = excluded.name`, a.ID, a.Name, millis(a.Made))
		if err != nil {
			return err
		}
		return writeNote(tx, a.ID, note)
	})
}

// Keep keeps a token.
func (s *Store) Keep(ctx context.Context, association string, t office.Token, hash string, note ledgers.Note) error {
	return s.db.Change(ctx, association, func(tx Tx) error {
		_, err := tx.Exec("INSERT INTO token (association, id, kind, hash, label, division, one_game, game, made, expires) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
			association, t.ID, string(t.Kind), hash, t.Label, t.Division, t.OneGame, t.Game, millis(t.Made), millis(t.Expires))
		if err != nil {
			return err
		}
		return writeNote(tx, association, note)
	})
}

const tokenColumns = "SELECT id, kind, label, division, one_game, game, made, expires, revoked, used FROM token "

func readToken(read func(...any) error) (t office.Token, err error) {
	err = read(&t.ID, &t.Kind, &t.Label, &t.Division, &t.OneGame, &t.Game, &t.Made, &t.Expires, &t.Revoked, &t.Used)
	return t, err
}

func tokenOf(tx Tx, association string, kind office.Kind, hash string) (t office.Token, err error) {
	err = tx.Rows(tokenColumns+"WHERE association = ? AND kind = ? AND hash = ?", func(read func(...any) error) error {
		t, err = readToken(read)
		return err
	}, association, string(kind), hash)
	return t, err
}

// Token finds one by the hash of its secret.
func (s *Store) Token(ctx context.Context, association string, kind office.Kind, hash string) (t office.Token, err error) {
	err = s.db.Read(ctx, association, func(tx Tx) error {
		t, err = tokenOf(tx, association, kind, hash)
		return err
	})
	return t, err
}

// Take is Token, once.
func (s *Store) Take(ctx context.Context, association string, kind office.Kind, hash string, note ledgers.Note) (t office.Token, err error) {
	err = s.db.Change(ctx, association, func(tx Tx) error {
		if t, err = tokenOf(tx, association, kind, hash); err != nil || t.ID == "" {
			return err
		}
		if _, err := tx.Exec("UPDATE token SET revoked = ?, used = ? WHERE association = ? AND id = ? AND revoked = 0",
			millis(note.At), millis(note.At), association, t.ID); err != nil {
			return err
		}
		note.Object = t.ID
		return writeNote(tx, association, note)
	})
	return t, err
}

// Tokens returns those of a kind.
func (s *Store) Tokens(ctx context.Context, association string, kind office.Kind) (list []office.Token, err error) {
	err = s.db.Read(ctx, association, func(tx Tx) error {
		return tx.Rows(tokenColumns+"WHERE association = ? AND kind = ? ORDER BY made DESC, id", func(read func(...any) error) error {
			t, err := readToken(read)
			list = append(list, t)
			return err
		}, association, string(kind))
	})
	return list, err
}

// Revoke takes a token back.
func (s *Store) Revoke(ctx context.Context, association, id string, note ledgers.Note) (there bool, err error) {
	err = s.db.Change(ctx, association, func(tx Tx) error {
		touched, err := tx.Exec("UPDATE token SET revoked = ? WHERE association = ? AND id = ? AND revoked = 0",
			millis(note.At), association, id)
		if there = touched > 0; err != nil || !there {
			return err
		}
		return writeNote(tx, association, note)
	})
	return there, err
}

// Bind gives a bench for one game the game that it is for.
func (s *Store) Bind(ctx context.Context, association, id, game string, note ledgers.Note) (bound string, err error) {
	err = s.db.Change(ctx, association, func(tx Tx) error {
		touched, err := tx.Exec("UPDATE token SET game = ? WHERE association = ? AND id = ? AND one_game = 1 AND game = ''", game, association, id)
		if err != nil {
			return err
		}
		if _, err := tx.Row("SELECT game FROM token WHERE association = ? AND id = ?", []any{&bound}, association, id); err != nil || touched == 0 {
			return err
		}
		return writeNote(tx, association, note)
	})
	return bound, err
}

// Seen notes when a token was shown.
func (s *Store) Seen(ctx context.Context, association, id string, at entry.Millis) error {
	return s.db.Change(ctx, association, func(tx Tx) error {
		_, err := tx.Exec("UPDATE token SET used = ? WHERE association = ? AND id = ?", millis(at), association, id)
		return err
	})
}

const logColumns = "SELECT seq, at, who, what, object, origin, prev, hash FROM audit "

func readLogged(read func(...any) error) (l office.Logged, err error) {
	err = read(&l.Seq, &l.At, &l.Who, &l.What, &l.Object, &l.From, &l.Prev, &l.Hash)
	return l, err
}

// writeNote writes a line of the log behind the newest one.
func writeNote(tx Tx, association string, note ledgers.Note) error {
	if err := tx.HoldOffice(); err != nil {
		return err
	}
	var last office.Logged
	err := tx.Rows(logColumns+"WHERE association = ? ORDER BY seq DESC LIMIT 1", func(read func(...any) error) (err error) {
		last, err = readLogged(read)
		return err
	}, association)
	if err != nil {
		return err
	}
	next := office.Logged{Seq: last.Seq + 1, Note: note, Prev: last.Hash}
	_, err = tx.Exec("INSERT INTO audit (association, seq, at, who, what, object, origin, prev, hash) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
		association, next.Seq, millis(note.At), note.Who, note.What, note.Object, note.From, next.Prev, next.Sum())
	return err
}

// Note writes a line of the log.
func (s *Store) Note(ctx context.Context, association string, note ledgers.Note) error {
	return s.db.Change(ctx, association, func(tx Tx) error { return writeNote(tx, association, note) })
}

// Log returns lines of the log.
func (s *Store) Log(ctx context.Context, association string, after, most int) (list []office.Logged, err error) {
	err = s.db.Read(ctx, association, func(tx Tx) error {
		return tx.Rows(logColumns+"WHERE association = ? AND seq > ? ORDER BY seq LIMIT ?", func(read func(...any) error) error {
			l, err := readLogged(read)
			list = append(list, l)
			return err
		}, association, after, most)
	})
	return list, err
}
