package sqlite

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/gofrs/flock"
	"github.com/pressly/goose/v3"
	"modernc.org/sqlite" // with the driver "sqlite"

	"whistlestop/internal/folder/durable"
	"whistlestop/internal/store"
)

//go:embed migrations/*.sql papers/*.sql
var steps embed.FS

// The folders of the steps that bring a database up to date.
const ledgerSteps, paperSteps = "migrations", "papers"

// The files in the folder.
const (
	fileName = "whistlestop.db"
	lockName = "whistlestop.lock"
)

// versionLeast is the oldest SQLite that may hold a ledger: before it, resetting
// the WAL could damage the database.
var versionLeast = [3]int{3, 51, 3}

// Open opens the database in the folder, which is made if it is not there. It
// returns store.ErrInUse when another program has it open and a
// *store.WeakError when the database cannot be run safely.
func Open(ctx context.Context, folder string) (*Store, error) {
	return openOwn(ctx, folder, fileName, lockName, ledgerSteps)
}

// openOwn opens a file whose steps come with this package.
func openOwn(ctx context.Context, folder, file, locked, made string) (*Store, error) {
	files, err := fs.Sub(steps, made)
	if err != nil {
		return nil, err
	}
	return openFile(ctx, folder, file, locked, files)
}

func openFile(ctx context.Context, folder, file, locked string, made fs.FS) (*Store, error) {
	// Rosters hold names of children: nobody else on this machine reads them.
	if err := durable.MakeFolder(folder); err != nil {
		return nil, err
	}
	folder, err := filepath.Abs(folder)
	if err != nil {
		return nil, err
	}
	lock := flock.New(filepath.Join(folder, locked), flock.SetPermissions(0o600))
	mine, err := lock.TryLock()
	if err != nil {
		return nil, err
	}
	if !mine {
		return nil, store.ErrInUse
	}
	s := &Store{path: filepath.Join(folder, file), steps: made, lock: lock}
	if err := s.open(ctx); err != nil {
		return nil, errors.Join(err, lock.Unlock())
	}
	return s, nil
}

// OpenBeside opens the database of a folder that another program has open, to
// read the ledgers. It must not be used to append.
func OpenBeside(ctx context.Context, folder string) (*Store, error) {
	folder, err := filepath.Abs(folder)
	if err != nil {
		return nil, err
	}
	s := &Store{path: filepath.Join(folder, fileName)}
	return s, s.open(ctx)
}

// damaged reports whether SQLite says that the file is not what it wrote.
func damaged(err error) bool {
	const corrupt, notDatabase = 11, 26
	var failed *sqlite.Error
	return errors.As(err, &failed) && (failed.Code()&0xff == corrupt || failed.Code()&0xff == notDatabase)
}

// open opens the file, reads the settings back and brings the tables up to
// date.
func (s *Store) open(ctx context.Context) error {
	// SQLite gives its helper files the permissions of the database.
	file, err := os.OpenFile(s.path, os.O_CREATE|os.O_RDWR, 0o600)
	if err != nil {
		return err
	}
	if err := file.Close(); err != nil {
		return err
	}
	db, err := sql.Open("sqlite", dsn(s.path))
	if err != nil {
		return err
	}
	// One writer connection, which also reads: ledgers are read whole and
	// seldom, and so no reader can ever hold up a checkpoint.
	db.SetMaxOpenConns(1)
	if err := s.prepare(ctx, db); err != nil {
		if damaged(err) {
			err = fmt.Errorf("%w: %w", store.ErrDamaged, err)
		}
		return errors.Join(err, db.Close())
	}
	s.db = db
	return nil
}

// dsn carries the settings, so that every connection gets them. The busy
// timeout comes first: the other settings may have to wait for a lock.
func dsn(path string) string {
	query := url.Values{
		"_pragma": {"busy_timeout(5000)", "journal_mode(WAL)", "synchronous(FULL)", "foreign_keys(ON)", "secure_delete(ON)"},
		"_txlock": {"immediate"},
	}
	path = filepath.ToSlash(path)
	if !strings.HasPrefix(path, "/") {
		path = "/" + path // a drive letter
	}
	return (&url.URL{Scheme: "file", Path: path, RawQuery: query.Encode()}).String()
}

func (s *Store) prepare(ctx context.Context, db *sql.DB) error {
	if err := readBack(ctx, db); err != nil {
		return err
	}
	if s.lock == nil {
		return nil // the program that has the folder open brought it up to date
	}
	// A step that is missed in the list runs again, whichever it is, and fails on
	// what it finds, which tells a damaged list.
	provider, err := goose.NewProvider(goose.DialectSQLite3, db, s.steps, goose.WithAllowOutofOrder(true))
	if err != nil {
		return err
	}
	if _, err := provider.Up(ctx); err != nil {
		err = fmt.Errorf("bring the tables up to date: %w", err)
		if !ours(err) {
			err = fmt.Errorf("%w: %w", store.ErrDamaged, err)
		}
		return err
	}
	return nil
}

// ours reports whether an error may have another cause than what is in the file.
// Statements that bring a whole database up to date never fail for what they say:
// if one does, a table is there that should not be, or is not there.
func ours(err error) bool {
	const said = 1
	var failed *sqlite.Error
	return !errors.As(err, &failed) || failed.Code()&0xff != said
}

// readBack asks the database for the settings that a ledger's safety rests on:
// asking for a setting is not having it (a file system without shared memory
// keeps SQLite from using WAL, and it says so only when asked).
func readBack(ctx context.Context, db *sql.DB) error {
	var version string
	if err := db.QueryRowContext(ctx, "SELECT sqlite_version()").Scan(&version); err != nil {
		return err
	}
	if older(version, versionLeast) {
		least := fmt.Sprintf("%d.%d.%d", versionLeast[0], versionLeast[1], versionLeast[2])
		return &store.WeakError{Setting: "SQLite version", Found: version, Needed: least + " or newer"}
	}
	for _, setting := range []struct {
		pragma, needed string
		enough         func(found string) bool
	}{
		{"journal_mode", "wal", func(found string) bool { return found == "wal" }},
		{"synchronous", "2 (FULL)", func(found string) bool { return found == "2" || found == "3" }},
		{"foreign_keys", "1 (ON)", func(found string) bool { return found == "1" }},
		// What is deleted about a person is overwritten, not only left out.
		{"secure_delete", "1 (ON)", func(found string) bool { return found == "1" }},
		{"busy_timeout", "5000", func(found string) bool { return found == "5000" }},
	} {
		var found string
		if err := db.QueryRowContext(ctx, "PRAGMA "+setting.pragma).Scan(&found); err != nil {
			return err
		}
		if !setting.enough(found) {
			return &store.WeakError{Setting: setting.pragma, Found: found, Needed: setting.needed}
		}
	}
	return nil
}

// older reports whether version, such as "3.54.1", comes before least. What is
// not a version counts as older.
func older(version string, least [3]int) bool {
	parts := strings.Split(version, ".")
	for i, bound := range least {
		if i >= len(parts) {
			return true
		}
		n, err := strconv.Atoi(parts[i])
		if err != nil || n < bound {
			return true
		}
		if n > bound {
			return false
		}
	}
	return false
}
