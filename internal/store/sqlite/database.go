package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"modernc.org/sqlite"

	"whistlestop/internal/folder/durable"
)

// Database is tables of another kind in a file that is as safe as that of the
// ledgers: the same settings, read back at the start, and the same care after a
// write that failed. It is safe for use by many goroutines.
type Database struct{ store *Store }

// OpenDatabase opens a file in a folder, which is made if it is not there, and
// brings its tables up to date by the steps. Only one program at a time has it. Its
// errors are those of Open.
func OpenDatabase(ctx context.Context, folder, file, lock string, made fs.FS) (*Database, error) {
	s, err := openFile(ctx, folder, file, lock, made)
	if err != nil {
		return nil, err
	}
	return &Database{s}, nil
}

// OpenDatabaseBeside opens the same while another program may have it open, and
// leaves its tables as they are. A file that is not there is an error.
func OpenDatabaseBeside(ctx context.Context, folder, file string) (*Database, error) {
	path, err := filepath.Abs(filepath.Join(folder, file))
	if err != nil {
		return nil, err
	}
	if _, err := os.Stat(path); err != nil {
		return nil, err
	}
	s := &Store{path: path}
	if err := s.open(ctx); err != nil {
		return nil, err
	}
	return &Database{s}, nil
}

// Tx is a transaction that is under way. Statements are made ready once and kept.
type Tx struct {
	ctx   context.Context
	store *Store
}

// Exec carries out a statement and returns how many rows it touched.
func (t *Tx) Exec(text string, args ...any) (int64, error) {
	ready, err := t.store.ask(t.ctx, text)
	if err != nil {
		return 0, err
	}
	result, err := ready.ExecContext(t.ctx, args...)
	if err != nil {
		return 0, err
	}
	return result.RowsAffected()
}

// Rows asks and gives each row to scan.
func (t *Tx) Rows(text string, scan func(read func(into ...any) error) error, args ...any) error {
	_, err := query(t.ctx, t.store, text, func(rows *sql.Rows) (none struct{}, err error) {
		return none, scan(rows.Scan)
	}, args...)
	return err
}

// Row asks for one row and reports whether there is one.
func (t *Tx) Row(text string, into []any, args ...any) (there bool, err error) {
	err = t.Rows(text, func(read func(...any) error) error {
		there = true
		return read(into...)
	}, args...)
	return there, err
}

// Change does something in one transaction, all or nothing, and returns when it is
// on the disk. What act itself says against it is returned as it is; after a failure
// of the disk the file is opened anew, and nobody knows whether the change was kept.
func (d *Database) Change(ctx context.Context, act func(*Tx) error) error {
	var said error
	err := d.store.change(ctx, func(ctx context.Context, _ *sql.DB) error {
		// There is one connection, and the mutex is held: plain statements are a
		// transaction, and what was made ready before can be used in it.
		tx := &Tx{ctx: ctx, store: d.store}
		if _, err := tx.Exec("BEGIN IMMEDIATE"); err != nil {
			return err
		}
		err := act(tx)
		if err == nil {
			_, err = tx.Exec("COMMIT")
		}
		if err == nil {
			return nil
		}
		back := &Tx{ctx: context.WithoutCancel(ctx), store: d.store}
		if _, failed := back.Exec("ROLLBACK"); failed != nil {
			return errors.Join(err, errNotTakenBack, failed)
		}
		var disk *sqlite.Error
		if errors.As(err, &disk) {
			return err
		}
		said = err
		return nil
	})
	return errors.Join(err, said)
}

// Read asks without changing anything.
func (d *Database) Read(ctx context.Context, act func(*Tx) error) error {
	d.store.mutex.Lock()
	defer d.store.mutex.Unlock()
	return act(&Tx{ctx: ctx, store: d.store})
}

// CopyTo writes the whole database into a new file and returns when the file and its
// name are on the disk, which VACUUM INTO by itself does not promise. The database
// may be in use.
func (d *Database) CopyTo(ctx context.Context, path string) error {
	if _, err := os.Stat(path); err == nil {
		return fmt.Errorf("%s: %w", path, fs.ErrExist)
	}
	d.store.mutex.Lock()
	defer d.store.mutex.Unlock()
	db, err := d.store.database(ctx)
	if err != nil {
		return err
	}
	part := path + ".part" // nobody takes half a copy for one
	_ = os.Remove(part)    // of a try before
	if _, err := db.ExecContext(ctx, "VACUUM INTO ?", part); err != nil {
		return errors.Join(err, os.Remove(part))
	}
	if err := settle(part); err != nil {
		return errors.Join(err, os.Remove(part))
	}
	if err := os.Rename(part, path); err != nil {
		return err
	}
	return durable.Lenient(durable.System()).SyncFolder(filepath.Dir(path))
}

// settle brings a file that was written onto the disk, for nobody else to read.
func settle(path string) error {
	file, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	return errors.Join(file.Chmod(0o600), file.Sync(), file.Close())
}

// Check reads the whole file and returns what SQLite finds wrong with it.
func (d *Database) Check(ctx context.Context) error {
	var found string
	err := d.Read(ctx, func(tx *Tx) error {
		return tx.Rows("PRAGMA integrity_check(1)", func(read func(...any) error) error { return read(&found) })
	})
	if err == nil && found != "ok" {
		err = errors.New(found)
	}
	return err
}

// Close closes the database and lets another program open it.
func (d *Database) Close() error { return d.store.Close() }
