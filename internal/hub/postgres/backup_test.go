package postgres_test

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"whistlestop/internal/hub/copied"
	"whistlestop/internal/hub/hubtest"
	"whistlestop/internal/hub/people"
	"whistlestop/internal/hub/postgres"
)

// rowsOf is every row of every table of a database that is copied, as a superuser sees it.
func rowsOf(t *testing.T, database string) map[string][]string {
	t.Helper()
	conn, all := super(t, database), map[string][]string{}
	for _, table := range list[string](t, conn, `SELECT relname::text FROM pg_class WHERE relnamespace = 'hub'::regnamespace AND relkind IN ('r', 'p')
		AND NOT relispartition AND relname NOT IN ('goose_db_version', 'outbox')`) {
		all[table] = list[string](t, conn, "SELECT t::text FROM hub."+table+" t ORDER BY 1")
	}
	return all
}

// A copy that is put back in another database has every row of every table, whoever adds
// tables, and can be gone on with; only people can be left out; what is not whole, not of
// one moment or not for an empty database changes nothing.
func TestACopyIsPutBack(t *testing.T) {
	c, database, folder := running(t), filled(t), t.TempDir()
	owner := super(t, database)
	exec(t, owner, "INSERT INTO hub.association (id, name, made) VALUES ('it''s \\ other', 'Saltworks', 5)")
	for _, table := range list[string](t, owner, `SELECT relname::text FROM pg_class WHERE relnamespace = 'hub'::regnamespace AND relkind = 'r'
		AND relname NOT IN ('goose_db_version', 'outbox', 'association')`) {
		if len(list[string](t, owner, "SELECT 'x' FROM hub."+table)) == 0 {
			fillAny(t, owner, table)
		}
	}
	s := open(t, c.URL(app, database))
	defer closed(t, s)
	games, persons := filepath.Join(folder, "one", copied.Games), filepath.Join(folder, "two", copied.People)
	for _, name := range []string{games, persons} {
		if err := os.MkdirAll(filepath.Dir(name), 0o700); err != nil {
			t.Fatal(err)
		}
	}
	m, err := s.BackUp(t.Context(), games, persons, 1_700_000_000_000)
	if err != nil || m.Heads.Games != 1 || m.Heads.Entries != 3 {
		t.Fatalf("%+v %v", m, err)
	}
	if _, err := s.BackUp(t.Context(), games, filepath.Join(folder, "three"), 5); !errors.Is(err, fs.ErrExist) {
		t.Error(err)
	}
	if left, err := filepath.Glob(filepath.Join(folder, "three*")); err != nil || len(left) > 0 {
		t.Error("something of a copy that failed was left: ", left, err)
	}
	part, err := copied.Read(games)
	if err != nil {
		t.Fatal(err)
	}
	for _, table := range part.Tables {
		if slices.Contains([]string{"person", "session", "passkey", "membership", "invitation", "ticket"}, table.Name) {
			t.Errorf("people's table %s is among the games", table.Name)
		}
	}
	want := rowsOf(t, database)

	target := fresh(t)
	restored, got, err := postgres.Restore(t.Context(), c.Super(target), games, persons)
	if err != nil || got.Heads != m.Heads {
		t.Fatalf("%+v %v", got, err)
	}
	defer closed(t, restored)
	for table, rows := range rowsOf(t, target) {
		if !slices.Equal(rows, want[table]) {
			t.Errorf("table %s has %q, want %q", table, rows, want[table])
		}
	}
	lines, err := restored.Lines(t.Context(), hubtest.At, 0, 10)
	if err != nil || len(lines) != 3 {
		t.Fatal(lines, err)
	}
	if walled := list[string](t, super(t, target), `SELECT relname::text FROM pg_class WHERE relnamespace = 'hub'::regnamespace AND relkind = 'r'
		AND relname <> 'goose_db_version' AND NOT relforcerowsecurity`); len(walled) > 0 {
		t.Error("no wall around ", walled)
	}
	hub := open(t, c.URL(app, target))
	defer closed(t, hub)
	if head, err := hub.Append(t.Context(), hubtest.At, 1, hubtest.Chain("a", lines, 1), 9); err != nil || head.Seq != 4 {
		t.Error(head, err)
	}
	if _, _, err := postgres.Restore(t.Context(), c.Super(target), games, persons); !errors.Is(err, postgres.ErrNotEmpty) {
		t.Error(err)
	}

	// Without its people.
	alone, _, err := postgres.Restore(t.Context(), c.Super(fresh(t)), games, "")
	if err != nil {
		t.Fatal(err)
	}
	defer closed(t, alone)
	if all, err := people.New(alone, hubtest.Ours, nil, nil).Everybody(t.Context()); err != nil || len(all) > 0 {
		t.Error(all, err)
	}

	// With people of another moment, and with a byte that is another one.
	later := filepath.Join(folder, "later")
	if _, err := s.BackUp(t.Context(), filepath.Join(folder, "latergames"), later, 5); err != nil {
		t.Fatal(err)
	}
	bad := fresh(t)
	if _, _, err := postgres.Restore(t.Context(), c.Super(bad), games, later); !errors.Is(err, postgres.ErrTwoCopies) {
		t.Error(err)
	}
	file := filepath.Join(games, "entry.copy.gz")
	raw, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	raw[len(raw)/2] ^= 1
	if err := os.WriteFile(file, raw, 0o600); err != nil {
		t.Fatal(err)
	}
	if _, _, err := postgres.Restore(t.Context(), c.Super(bad), games, persons); !errors.Is(err, copied.ErrDamaged) || !strings.Contains(err.Error(), "entry.copy.gz") {
		t.Error(err)
	}
	if there := list[int64](t, super(t, bad), "SELECT count(*) FROM hub.association"); there[0] != 0 {
		t.Error("something of a damaged copy was put in")
	}
}

// A copy with a line of a game that has no head is not put back: no key of the tables would
// find it.
func TestALineWithoutAHeadIsNotPutBack(t *testing.T) {
	c, database, folder := running(t), filled(t), t.TempDir()
	exec(t, super(t, database), "INSERT INTO hub.entry SELECT association, 'none', seq, epoch, id, prev, hash, line FROM hub.entry")
	s := open(t, c.URL(app, database))
	defer closed(t, s)
	games := filepath.Join(folder, copied.Games)
	if _, err := s.BackUp(t.Context(), games, filepath.Join(folder, copied.People), 5); err != nil {
		t.Fatal(err)
	}
	target := fresh(t)
	if _, _, err := postgres.Restore(t.Context(), c.Super(target), games, ""); !errors.Is(err, copied.ErrDamaged) {
		t.Error(err)
	}
	if there := list[int64](t, super(t, target), "SELECT count(*) FROM hub.entry"); there[0] != 0 {
		t.Error("something of it was put in")
	}
}
