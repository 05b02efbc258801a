package sqlite_test

import (
	"context"
	"errors"
	"testing"

	"whistlestop/internal/store"
	"whistlestop/internal/store/sqlite"
	"whistlestop/internal/store/storetest"
)

// A database in which it is not as it was written which tables there are says so,
// in place of the words of a library.
func TestDamagedListOfTablesIsDamage(t *testing.T) {
	for name, statement := range map[string]string{
		"the versions are gone":          "DELETE FROM goose_db_version",
		"the table of versions is hid":   "PRAGMA writable_schema = ON; UPDATE sqlite_schema SET type = 'tacle' WHERE name = 'goose_db_version'",
		"a version in between is gone":   "DELETE FROM goose_db_version WHERE version_id = 2",
		"a version too few":              "DELETE FROM goose_db_version WHERE version_id = 3",
		"the table of versions is empty": "DROP TABLE goose_db_version; CREATE TABLE goose_db_version (id INTEGER)",
	} {
		t.Run(name, func(t *testing.T) {
			ctx, folder, game := context.Background(), t.TempDir(), storetest.Game(1)
			s := open(t, folder)
			if err := s.Append(ctx, game, storetest.Chain(game, nil, 3)); err != nil {
				t.Fatal(err)
			}
			if err := s.Close(); err != nil {
				t.Fatal(err)
			}
			alterWhileOpen(t, folder, statement)
			again, err := sqlite.Open(ctx, folder)
			if err == nil {
				t.Fatal("it opens", again.Close())
			}
			if !errors.Is(err, store.ErrDamaged) {
				t.Errorf("it says %v", err)
			}
		})
	}
}
