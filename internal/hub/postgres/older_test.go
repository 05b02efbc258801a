package postgres_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"

	"whistlestop/internal/hub/bus"
	"whistlestop/internal/hub/hubtest"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/people/peopletest"
	"whistlestop/internal/hub/postgres"
)

// recordEnv lets the suites write down all that they ask, when a version is released: as
// testdata/asked-N.sql, where N is the newest step of that version.
const recordEnv = "WHISTLESTOP_RECORD_ASKED"

// asked keeps each statement once.
type asked struct {
	sync.Mutex
	texts []string
}

func (a *asked) TraceQueryStart(ctx context.Context, _ *pgx.Conn, data pgx.TraceQueryStartData) context.Context {
	a.Lock()
	defer a.Unlock()
	if !slices.Contains(a.texts, data.SQL) {
		a.texts = append(a.texts, data.SQL)
	}
	return ctx
}

func (a *asked) TraceQueryEnd(context.Context, *pgx.Conn, pgx.TraceQueryEndData) {}

// between is a line between two recorded statements.
const between = "\n--\n"

func TestRecordAsked(t *testing.T) {
	if os.Getenv(recordEnv) == "" {
		t.Skip("set " + recordEnv + " to record what this version asks")
	}
	notes := &asked{}
	postgres.Trace(notes)
	defer postgres.Trace(nil)
	database := fresh(t)
	owner := super(t, database)
	all := "hub." + strings.Join(tablesOf(t, owner), ", hub.")
	empty := func() *postgres.Store {
		exec(t, owner, "TRUNCATE "+all)
		return open(t, running(t).URL(app, database))
	}
	hubtest.Run(t, func(*testing.T) hubtest.Store { return empty() })
	peopletest.Run(t, func(*testing.T) peopletest.Store { return empty() })
	s := open(t, running(t).URL(app, filled(t)))
	defer closed(t, s)
	_, _, err := s.Waiting(t.Context())
	none := func(context.Context, []bus.Message) error { return nil }
	_, taken := s.TakeOutbox(t.Context(), 10, none)
	if err = errors.Join(err, taken, s.Republish(t.Context(), 0, none)); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Heads(t.Context(), []ledgers.Where{hubtest.At}); err != nil {
		t.Fatal(err)
	}
	slices.Sort(notes.texts)
	newest := list[int64](t, super(t, prepared), "SELECT max(version_id) FROM hub.goose_db_version")
	file := filepath.Join("testdata", fmt.Sprintf("asked-%d.sql", newest[0]))
	if err := os.WriteFile(file, []byte(strings.Join(notes.texts, between)), 0o644); err != nil { //nolint:gosec // a file of the sources
		t.Fatal(err)
	}
}

var place = regexp.MustCompile(`\$(\d+)`)

// What versions before this one ask is still answered by the tables of this one, with the
// rights that hubs have: hubs of two versions run side by side while one takes the
// other's place.
func TestOlderVersionsGoOn(t *testing.T) {
	files, err := filepath.Glob("testdata/*.sql")
	if err != nil || len(files) == 0 {
		t.Fatal("no version was recorded", err)
	}
	conn := connect(t, running(t).URL(app, fresh(t)))
	exec(t, conn, "SET search_path = hub")
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		all := strings.Split(string(text), between)
		if len(all) < 50 {
			t.Errorf("%s has only %d statements", file, len(all))
		}
		for _, one := range all {
			if verb, _, _ := strings.Cut(strings.ToUpper(strings.TrimSpace(one)), " "); !slices.Contains([]string{"SELECT", "INSERT", "UPDATE", "DELETE"}, strings.TrimSpace(verb)) {
				continue // COMMIT, SET LOCAL
			}
			if err := planned(t.Context(), conn, one); err != nil {
				t.Errorf("%s: %s: %v", filepath.Base(file), one, err)
			}
		}
	}
	for text, want := range map[string]string{ // what the test would find
		"SELECT nothing FROM association": "42703", "DELETE FROM entry WHERE association = $1": "42501", "SELECT hub.append_lines($1)": "42883",
	} {
		var said *pgconn.PgError
		if err := planned(t.Context(), conn, text); !errors.As(err, &said) || said.Code != want {
			t.Errorf("%s: %v, want %s", text, err, want)
		}
	}
}

// planned lets the server plan a statement as a hub, or as what a hub becomes to relay,
// without carrying it out.
func planned(ctx context.Context, conn *pgx.Conn, text string) (err error) {
	count := 0
	for _, found := range place.FindAllStringSubmatch(text, -1) {
		n := 0
		if _, err := fmt.Sscan(found[1], &n); err != nil {
			return err
		}
		count = max(count, n)
	}
	execute := "EXPLAIN EXECUTE one"
	if count > 0 {
		execute += "(" + strings.TrimSuffix(strings.Repeat("NULL,", count), ",") + ")"
	}
	for _, role := range []string{"none", "whistlestop_relay"} {
		steps := []string{"BEGIN", "SET LOCAL ROLE " + role, "PREPARE one AS " + text, execute}
		err = nil
		for _, step := range steps {
			if _, err = conn.Exec(ctx, step, pgx.QueryExecModeSimpleProtocol); err != nil {
				break
			}
		}
		if _, ended := conn.Exec(ctx, "ROLLBACK; DEALLOCATE ALL"); ended != nil {
			return ended
		}
		var said *pgconn.PgError
		if !errors.As(err, &said) || said.Code != "42501" {
			return err
		}
	}
	return err
}
