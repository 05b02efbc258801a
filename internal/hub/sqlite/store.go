package sqlite

import (
	"context"

	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/tables"
	database "whistlestop/internal/store/sqlite"
)

// File is the name of the database in the folder of a hub; lockFile keeps a second
// hub out.
const (
	File     = "hub" + ".db" // no keys of messages
	lockFile = "hub" + ".lock"
)

// Store is a hub's database. It is safe for use by many goroutines.
type Store struct {
	*tables.Store
	file *database.Database
}

// Open opens the hub of a folder, which is made if it is not there. It returns
// store.ErrInUse when another program has it and a *store.WeakError when it cannot
// be run safely.
func Open(ctx context.Context, folder string) (*Store, error) {
	made, err := tables.Steps()
	if err != nil {
		return nil, err
	}
	db, err := database.OpenDatabase(ctx, folder, File, lockFile, made)
	if err != nil {
		return nil, err
	}
	return &Store{tables.New(engine{db}), db}, nil
}

// OpenBeside opens the hub of a folder while the hub may be running.
func OpenBeside(ctx context.Context, folder string) (*Store, error) {
	db, err := database.OpenDatabaseBeside(ctx, folder, File)
	if err != nil {
		return nil, err
	}
	return &Store{tables.New(engine{db}), db}, nil
}

// BackUp writes the whole hub into a new file; it is there after a power cut once
// BackUp returns.
func (s *Store) BackUp(ctx context.Context, path string) error { return s.file.CopyTo(ctx, path) }

// Check says what is wrong with the file, if anything is.
func (s *Store) Check(ctx context.Context) error { return s.file.Check(ctx) }

// engine is SQLite as the questions want it: one writes at a time, so nobody has to be
// kept out, and there is no other process to tell.
type engine struct{ *database.Database }

type tx struct{ *database.Tx }

func act(do func(tables.Tx) error) func(*database.Tx) error {
	return func(t *database.Tx) error { return do(tx{t}) }
}

func (e engine) Read(ctx context.Context, _ string, do func(tables.Tx) error) error {
	return e.Database.Read(ctx, act(do))
}

func (e engine) ReadAll(ctx context.Context, do func(tables.Tx) error) error {
	return e.Database.Read(ctx, act(do))
}

func (e engine) Change(ctx context.Context, _ string, do func(tables.Tx) error) error {
	return e.Database.Change(ctx, act(do))
}

func (e engine) ChangeGame(ctx context.Context, _ ledgers.Where, do func(tables.Tx) error) error {
	return e.Database.Change(ctx, act(do))
}

func (tx) HoldOffice() error { return nil }

func (t tx) TakeOut(at ledgers.Where, from int) error {
	_, err := t.Exec("DELETE FROM entry WHERE association = ? AND game = ? AND seq >= ?", at.Association, at.Game, from)
	return err
}

func (t tx) ForgetLog(association string, through int) error {
	_, err := t.Exec("DELETE FROM audit WHERE association = ? AND seq <= ?", association, through)
	return err
}

func (tx) Tell(ledgers.Where, int, int, int) error { return nil }
