package tables

import (
	"context"
	"embed"
	"errors"
	"io/fs"
	"path"
	"strconv"
	"strings"

	"whistlestop/internal/hub/ledgers"
)

//go:embed steps/*.sql
var steps embed.FS

// Steps is what makes the tables and brings older ones up to date, in the form of goose.
func Steps() (fs.FS, error) { return fs.Sub(steps, "steps") }

// Newest returns the number of the newest step.
func Newest() (newest int, err error) {
	names, err := fs.Glob(steps, "steps/*.sql")
	for _, name := range names {
		number, _, _ := strings.Cut(path.Base(name), "_")
		n, failed := strconv.Atoi(number)
		err = errors.Join(err, failed)
		newest = max(newest, n)
	}
	return newest, err
}

// Database is an engine. It is safe for use by many goroutines.
type Database interface {
	// Read asks without changing anything, as one association.
	Read(ctx context.Context, association string, act func(Tx) error) error
	// ReadAll asks for the associations that there are.
	ReadAll(ctx context.Context, act func(Tx) error) error
	// Change does something in one transaction, all or nothing, and returns when it is
	// on the disk. Nobody else is in a Change of that association meanwhile.
	Change(ctx context.Context, association string, act func(Tx) error) error
	// ChangeGame is Change for what concerns one game: others change other games.
	ChangeGame(ctx context.Context, at ledgers.Where, act func(Tx) error) error
	// Close closes the database.
	Close() error
}

// Tx is a transaction that is under way.
type Tx interface {
	// Exec carries out a statement and returns how many rows it touched.
	Exec(text string, args ...any) (int64, error)
	// Rows asks and gives each row to scan, which asks nothing else meanwhile.
	Rows(text string, scan func(read func(into ...any) error) error, args ...any) error
	// Row asks for one row and reports whether there is one.
	Row(text string, into []any, args ...any) (there bool, err error)
	// HoldOffice lets ChangeGame write the log too: from then on it keeps others out of
	// a Change of the association.
	HoldOffice() error
	// TakeOut takes lines out of a ledger, from a place on. They stand on a branch already.
	TakeOut(at ledgers.Where, from int) error
	// ForgetLog drops the beginning of an association's log, up to a place. What it may
	// drop is older than 24 months.
	ForgetLog(association string, through int) error
	// Tell says to other processes of the hub, once the transaction is on the disk, that
	// lines from a place to another came in; 0: that others stand in their places.
	Tell(at ledgers.Where, epoch, from, to int) error
}

// Store answers a hub's questions from a database.
type Store struct{ db Database }

// New returns the store over a database, whose tables are there.
func New(db Database) *Store { return &Store{db} }

// Close closes the database.
func (s *Store) Close() error { return s.db.Close() }
