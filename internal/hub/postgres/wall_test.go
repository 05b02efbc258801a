package postgres_test

import (
	"crypto/rand"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"

	"whistlestop/internal/hub/hubtest"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/postgres"
	"whistlestop/internal/store"
)

// filled is a database in which every table has a row of ours.
func filled(t *testing.T) (database string) {
	t.Helper()
	database = fresh(t)
	s := open(t, running(t).URL(app, database))
	defer closed(t, s)
	found(t, s)
	lines := hubtest.Chain("a", nil, 3)
	if _, err := s.Append(t.Context(), hubtest.At, 1, lines, 7); err != nil {
		t.Fatal(err)
	}
	var fork *ledgers.ForkError
	if _, err := s.Append(t.Context(), hubtest.At, 1, hubtest.Chain("b", nil, 1), 7); !errors.As(err, &fork) {
		t.Fatal(err)
	}
	if err := s.KeepTitle(t.Context(), hubtest.At, 3, lines[2].Hash, []byte("{}")); err != nil {
		t.Fatal(err)
	}
	if err := s.Keep(t.Context(), hubtest.Ours, office.Token{ID: "t", Kind: office.Bench, Expires: 9}, "hash", ledgers.Note{At: 1, What: "made"}); err != nil {
		t.Fatal(err)
	}
	return database
}

// fillAny gives a table that has no row of ours yet one, whatever its columns are.
func fillAny(t *testing.T, owner *pgx.Conn, table string) {
	t.Helper()
	var columns, values []string
	for _, column := range list[string](t, owner, `SELECT column_name || ' ' || data_type FROM information_schema.columns
		WHERE table_schema = 'hub' AND table_name = $1 AND is_identity = 'NO' AND is_nullable = 'NO'`, table) {
		name, kind, _ := strings.Cut(column, " ")
		value := "'1'"
		switch {
		case name == "association":
			value = "'" + hubtest.Ours + "'"
		case name == "game": // one that is there: a copy is put back with all that refers to it
			value = "'" + hubtest.At.Game + "'"
		case kind == "bytea":
			value = "'x'"
		}
		columns, values = append(columns, name), append(values, value)
	}
	exec(t, owner, "SET session_replication_role = replica") // what they refer to need not be there
	exec(t, owner, fmt.Sprintf("INSERT INTO hub.%s (%s) VALUES (%s)", table, strings.Join(columns, ", "), strings.Join(values, ", ")))
	exec(t, owner, "SET session_replication_role = origin")
}

func refused(t *testing.T, what string, err error) {
	t.Helper()
	var said *pgconn.PgError
	if !errors.As(err, &said) || said.Code != "42501" {
		t.Errorf("%s: %v, want it refused", what, err)
	}
}

// Every table of the schema, whoever added it, has a row of ours; who names nobody or
// somebody else sees none, and cannot write one that is not theirs.
func TestTheWall(t *testing.T) {
	database := filled(t)
	owner := super(t, database)
	tables := tablesOf(t, owner)
	if len(tables) < 9 {
		t.Fatalf("only %v", tables)
	}
	hub := connect(t, running(t).URL(app, database))
	exec(t, owner, "ALTER ROLE whistlestop_audit LOGIN")
	auditor := connect(t, running(t).URL("whistlestop_audit", database))
	for _, table := range tables {
		key := "association"
		if table == "association" {
			key = "id"
		}
		count := func(conn *pgx.Conn, tenant string) int {
			t.Helper()
			exec(t, conn, fmt.Sprintf("BEGIN; SELECT set_config('app.tenant', '%s', true)", tenant))
			defer exec(t, conn, "ROLLBACK")
			return list[int](t, conn, fmt.Sprintf("SELECT count(*)::int FROM hub.%s WHERE %s = $1", table, key), hubtest.Ours)[0]
		}
		if list[int](t, owner, fmt.Sprintf("SELECT count(*)::int FROM hub.%s WHERE %s = $1", table, key), hubtest.Ours)[0] == 0 {
			fillAny(t, owner, table)
		}
		for _, conn := range []*pgx.Conn{hub, auditor} {
			if conn == hub && table == "outbox" {
				continue // a hub only writes it
			}
			if n := list[int](t, conn, "SELECT count(*)::int FROM hub."+table)[0]; n != 0 {
				t.Errorf("%s: %d rows for nobody", table, n)
			}
			if n := count(conn, ""); n != 0 {
				t.Errorf("%s: %d rows for an empty name", table, n)
			}
			if n := count(conn, hubtest.Theirs); n != 0 {
				t.Errorf("%s: %d rows for another association", table, n)
			}
			if n := count(conn, hubtest.Ours); n == 0 {
				t.Errorf("%s: no row for us", table)
			}
		}
		foreign(t, owner, hub, table)
		if _, err := hub.Exec(t.Context(), "TRUNCATE hub."+table); err == nil {
			t.Errorf("%s was emptied", table)
		}
		_, err := auditor.Exec(t.Context(), "DELETE FROM hub."+table)
		refused(t, table+" deleted by the auditor", err)
	}
	for _, text := range []string{"UPDATE hub.entry SET line = ''", "DELETE FROM hub.entry", "UPDATE hub.audit SET who = ''", "DELETE FROM hub.audit"} {
		_, err := hub.Exec(t.Context(), text)
		refused(t, text, err)
	}
}

// Places and epochs count from one, for whoever writes a row in whatever way.
func TestPlacesCountFromOne(t *testing.T) {
	hub := connect(t, running(t).URL(app, filled(t)))
	for _, text := range []string{
		"INSERT INTO hub.entry (association, game, seq, epoch, id, prev, hash, line) SELECT association, game, 0, epoch, 'new', prev, hash, line FROM hub.entry LIMIT 1",
		"INSERT INTO hub.ledger_head (association, game, epoch, seq, hash, heard) SELECT association, 'new', 0, seq, hash, heard FROM hub.ledger_head",
		"UPDATE hub.ledger_head SET epoch = 0",
		fmt.Sprintf("SELECT hub.append_line('%s', 'new', 0, 1, 'new', '', 'hash', 'x', 7)", hubtest.Ours),
	} {
		exec(t, hub, fmt.Sprintf("BEGIN; SELECT set_config('app.tenant', '%s', true)", hubtest.Ours))
		_, err := hub.Exec(t.Context(), text)
		refused(t, text, err)
		exec(t, hub, "ROLLBACK")
	}
}

// A line stands in a game that has a head, whoever writes it: one of no game is refused, also
// where another game's head was looked at; and a head does not go from under its lines.
func TestLinesStandUnderAHead(t *testing.T) {
	hub := connect(t, running(t).URL(app, filled(t)))
	line := func(game, id string) string {
		return fmt.Sprintf("INSERT INTO hub.entry (association, game, seq, epoch, id, prev, hash, line) VALUES ('%s', '%s', 9, 1, '%s', '', '', '')", hubtest.Ours, game, id)
	}
	exec(t, hub, fmt.Sprintf("BEGIN; SELECT set_config('app.tenant', '%s', true)", hubtest.Ours))
	exec(t, hub, line(hubtest.Game, "new"))
	for _, text := range []string{
		line("none", "new"), fmt.Sprintf("SELECT set_config('app.head', '%s', true); %s", hubtest.Game, line("none", "new")),
		"INSERT INTO hub.entry SELECT association, 'none', seq, epoch, id, prev, hash, line FROM hub.entry",
		"UPDATE hub.ledger_head SET game = 'none'", "UPDATE hub.ledger_head SET association = association", "DELETE FROM hub.ledger_head",
	} {
		exec(t, hub, "SAVEPOINT before")
		_, err := hub.Exec(t.Context(), text)
		refused(t, text, err)
		exec(t, hub, "ROLLBACK TO before")
	}
	exec(t, hub, fmt.Sprintf("SELECT set_config('app.tenant', '%s', true)", hubtest.Theirs)) // who have no such game
	_, err := hub.Exec(t.Context(), strings.Replace(line(hubtest.Game, "new"), hubtest.Ours, hubtest.Theirs, 1))
	refused(t, "a line of a game that another association has", err)
	exec(t, hub, "ROLLBACK")
	for _, text := range []string{
		"SELECT hub.append_line($1, 'none', 1, 2, 'id', 'prev', 'hash', 'x', 7)",
		"SELECT count(*) FROM hub.append_each($1, '{none}', '{1}', '{2}', '{id}', '{prev}', '{hash}', '{x}', '{7}')",
		"SELECT straight FROM hub.append_lines($1, 'none', 1, 2, '{id}', '{prev}', '{hash}', '{x}', 7)",
	} {
		if _, err := hub.Exec(t.Context(), text, hubtest.Ours); err != nil {
			t.Errorf("%s: %v", text, err)
		}
	}
	exec(t, hub, fmt.Sprintf("BEGIN; SELECT set_config('app.tenant', '%s', true)", hubtest.Ours))
	if n := list[int](t, hub, "SELECT count(*)::int FROM hub.entry WHERE game = 'none'")[0]; n != 0 {
		t.Errorf("%d lines stand under no head", n)
	}
	exec(t, hub, "ROLLBACK")
}

// foreign writes a row of another association's than the one that was said.
func foreign(t *testing.T, owner, hub *pgx.Conn, table string) {
	t.Helper()
	columns := strings.Join(list[string](t, owner, `SELECT quote_ident(column_name) FROM information_schema.columns
		WHERE table_schema = 'hub' AND table_name = $1 AND is_identity = 'NO' ORDER BY ordinal_position`, table), ", ")
	others := strings.Join(list[string](t, owner, `SELECT CASE WHEN column_name IN ('association', 'id') AND (column_name = 'association' OR $1 = 'association')
			THEN '''foreign''' ELSE quote_ident(column_name) END
		FROM information_schema.columns WHERE table_schema = 'hub' AND table_name = $1 AND is_identity = 'NO' ORDER BY ordinal_position`, table), ", ")
	exec(t, hub, fmt.Sprintf("BEGIN; SELECT set_config('app.tenant', '%s', true)", hubtest.Ours))
	defer exec(t, hub, "ROLLBACK")
	text := fmt.Sprintf("INSERT INTO hub.%s (%s) SELECT %s FROM hub.%s", table, columns, others, table)
	if table == "outbox" { // which a hub cannot read
		text = "INSERT INTO hub.outbox (association, game, epoch, first, last) VALUES ('foreign', 'g', 1, 1, 1)"
	}
	_, err := hub.Exec(t.Context(), text)
	refused(t, table+" written for another association", err)
}

// What the server itself says of the walls and of who may do what, table by table.
func TestPoliciesAndPrivileges(t *testing.T) {
	owner := super(t, fresh(t))
	for _, table := range tablesOf(t, owner) {
		flags := list[string](t, owner, `SELECT relrowsecurity || ' ' || relforcerowsecurity || ' ' || relowner::regrole
			FROM pg_class WHERE oid = ('hub.' || $1)::regclass`, table)
		if flags[0] != "true true whistlestop_owner" {
			t.Errorf("%s: %v", table, flags)
		}
		key := "association"
		if table == "association" {
			key = "id"
		}
		mine := fmt.Sprintf("(%s = NULLIF(current_setting('app.tenant'::text, true), ''::text))", key)
		want := []string{"tenant {public} ALL " + mine + " " + mine}
		if slices.Contains([]string{"association", "entry", "ledger_head", "outbox"}, table) {
			want = append([]string{"relay {whistlestop_relay} ALL true "}, want...)
		}
		if counted := map[string]string{"entry": "seq", "ledger_head": "epoch"}[table]; counted != "" {
			want = append([]string{"counted {public} ALL true (" + counted + " > 0)"}, want...)
		}
		if table == "entry" {
			stands := "(((current_setting('app.head'::text, true) = game) OR (current_setting('app.head'::text, true) = '*'::text)) OR hub.has_head(association, game))"
			want = slices.Insert(want, 1, "headed {public} INSERT "+stands)
		}
		if got := list[string](t, owner, `SELECT concat_ws(' ', policyname, roles, cmd, qual, coalesce(with_check, '')) FROM pg_policies
			WHERE schemaname = 'hub' AND tablename = $1 ORDER BY policyname`, table); !slices.Equal(got, want) {
			t.Errorf("%s: %q, want %q", table, got, want)
		}
		may := map[string]string{"whistlestop_app": "DELETE INSERT SELECT UPDATE", "whistlestop_audit": "SELECT", "public": ""}
		switch table {
		case "entry", "audit":
			may["whistlestop_app"] = "INSERT SELECT"
		case "outbox":
			may["whistlestop_app"], may["whistlestop_relay"] = "INSERT", "DELETE SELECT UPDATE"
		case "association":
			may["whistlestop_app"] = "INSERT SELECT UPDATE"
		case "ledger_head": // and what it says, but not of which game it is
			may["whistlestop_app"] = "INSERT SELECT"
			want := []string{"common", "epoch", "forked", "hash", "heard", "named", "seq"}
			if got := list[string](t, owner, `SELECT attname::text FROM pg_attribute, aclexplode(attacl)
				WHERE attrelid = 'hub.ledger_head'::regclass AND privilege_type = 'UPDATE' AND grantee = 'whistlestop_app'::regrole ORDER BY 1`); !slices.Equal(got, want) {
				t.Errorf("columns of a head that hubs may change: %v, want %v", got, want)
			}
		}
		if slices.Contains([]string{"association", "entry", "ledger_head"}, table) {
			may["whistlestop_relay"] = "SELECT"
		}
		for role, want := range may {
			got := list[string](t, owner, `SELECT coalesce(string_agg(privilege_type, ' ' ORDER BY privilege_type), '')
				FROM pg_class, aclexplode(relacl) WHERE pg_class.oid = ('hub.' || $1)::regclass
				AND CASE grantee WHEN 0 THEN 'public' ELSE grantee::regrole::text END = $2`, table, role)
			if got[0] != want {
				t.Errorf("%s may %q on %s, want %q", role, got[0], table, want)
			}
		}
	}
	for role, want := range map[string]string{
		"whistlestop_owner": "false false false false false", "whistlestop_app": "false false true false false",
		"whistlestop_relay": "false false false false false",
	} {
		got := list[string](t, owner, `SELECT concat_ws(' ', rolsuper, rolbypassrls, rolcanlogin, rolinherit, rolcreaterole)
			FROM (SELECT rolsuper::text, rolbypassrls::text, rolcanlogin::text, rolinherit::text, rolcreaterole::text FROM pg_roles WHERE rolname = $1) r`, role)
		if got[0] != want {
			t.Errorf("%s: %s, want %s", role, got[0], want)
		}
	}
}

// A line that stands on no branch leaves no ledger, not even by the owner's function.
func TestTakeOutKeepsWhatStandsNowhereElse(t *testing.T) {
	hub := connect(t, running(t).URL(app, filled(t)))
	exec(t, hub, fmt.Sprintf("BEGIN; SELECT set_config('app.tenant', '%s', true)", hubtest.Ours))
	_, err := hub.Exec(t.Context(), "SELECT hub.take_out($1, $2, 2)", hubtest.Ours, hubtest.Game)
	refused(t, "taken out", err)
	exec(t, hub, "ROLLBACK")
	// Of another association's game nothing is seen, so nothing is taken.
	exec(t, hub, fmt.Sprintf("BEGIN; SELECT set_config('app.tenant', '%s', true)", hubtest.Theirs))
	if _, err := hub.Exec(t.Context(), "SELECT hub.take_out($1, $2, 2)", hubtest.Ours, hubtest.Game); err != nil {
		t.Error(err)
	}
	exec(t, hub, fmt.Sprintf("SELECT set_config('app.tenant', '%s', true)", hubtest.Ours))
	if n := list[int](t, hub, "SELECT count(*)::int FROM hub.entry")[0]; n != 3 {
		t.Errorf("%d lines", n)
	}
	exec(t, hub, "COMMIT")
}

// The log of the last 24 months stays, whatever a hub asks for: by the database's clock.
func TestForgetLogKeepsWhatIsYoung(t *testing.T) {
	hub := connect(t, running(t).URL(app, filled(t)))
	exec(t, hub, fmt.Sprintf("BEGIN; SELECT set_config('app.tenant', '%s', true)", hubtest.Ours))
	exec(t, hub, fmt.Sprintf(`INSERT INTO hub.audit (association, seq, at, who, what, object, origin, prev, hash)
		SELECT '%s', 1000, extract(epoch FROM clock_timestamp()) * 1000, '', '', '', '', '', ''`, hubtest.Ours))
	exec(t, hub, "SAVEPOINT before")
	_, err := hub.Exec(t.Context(), "SELECT hub.forget_log($1, 1000)", hubtest.Ours)
	refused(t, "forgotten", err)
	exec(t, hub, "ROLLBACK TO before")
	if _, err := hub.Exec(t.Context(), "SELECT hub.forget_log($1, 999)", hubtest.Ours); err != nil {
		t.Error(err)
	}
	if n := list[int](t, hub, "SELECT count(*)::int FROM hub.audit")[0]; n != 1 {
		t.Errorf("%d lines", n)
	}
	exec(t, hub, "ROLLBACK")
}

// A server that loses what it acknowledged and a login that goes around the wall are
// refused, and what is wrong is said.
func TestWhatIsRefused(t *testing.T) {
	c, database := running(t), fresh(t)
	owner := super(t, database)
	url := c.URL(app, database)
	says := func(url, setting, found string) {
		t.Helper()
		s, err := postgres.Open(t.Context(), url)
		var weak *store.WeakError
		if !errors.As(err, &weak) || !strings.Contains(weak.Setting, setting) || !strings.Contains(weak.Found, found) {
			t.Errorf("%v, want %s %s refused", err, setting, found)
		}
		if err == nil {
			closed(t, s)
		}
	}
	for _, setting := range []string{"fsync", "full_page_writes", "synchronous_commit"} {
		exec(t, owner, "ALTER SYSTEM SET "+setting+" = off")
		reload(t, owner, setting, "off")
		says(url, setting, "off")
		exec(t, owner, "ALTER SYSTEM RESET "+setting)
		reload(t, owner, setting, "on")
	}
	exec(t, owner, "ALTER ROLE whistlestop_app SET synchronous_commit = off")
	says(url, "synchronous_commit", "off")
	exec(t, owner, "ALTER ROLE whistlestop_app RESET synchronous_commit")
	says(c.Super(database), "login", "SUPERUSER")
	exec(t, owner, "ALTER ROLE whistlestop_app BYPASSRLS")
	says(url, "login", "BYPASSRLS")
	exec(t, owner, "ALTER ROLE whistlestop_app NOBYPASSRLS")
	exec(t, owner, "GRANT UPDATE ON hub.entry TO whistlestop_app")
	says(url, "table entry", "UPDATE")
	if err := postgres.Prepare(t.Context(), c.Super(database)); err != nil { // which also puts rights in order
		t.Fatal(err)
	}
	closed(t, open(t, url))

	if err := c.Make(t.Context(), database+"empty", ""); err != nil {
		t.Fatal(err)
	}
	if _, err := postgres.Open(t.Context(), c.URL(app, database+"empty")); !errors.Is(err, postgres.ErrBehind) {
		t.Errorf("a database without tables: %v", err)
	}
	exec(t, owner, "ALTER FUNCTION hub.append_each RENAME TO append_each_later")
	if _, err := postgres.Open(t.Context(), url); !errors.Is(err, postgres.ErrBehind) {
		t.Errorf("a database without a function: %v", err)
	}
	exec(t, owner, "ALTER FUNCTION hub.append_each_later RENAME TO append_each")
	closed(t, open(t, url))
	exec(t, owner, "DELETE FROM hub.goose_db_version WHERE version_id = (SELECT max(version_id) FROM hub.goose_db_version)")
	if _, err := postgres.Open(t.Context(), url); !errors.Is(err, postgres.ErrBehind) {
		t.Errorf("a database that is behind: %v", err)
	}
}

// reload waits until sessions that begin now have a setting.
func reload(t *testing.T, owner *pgx.Conn, setting, want string) {
	t.Helper()
	exec(t, owner, "SELECT pg_reload_conf()")
	for list[string](t, owner, "SELECT current_setting($1)", setting)[0] != want { // each question lets the server look
		exec(t, owner, "SELECT pg_sleep(0.01)")
	}
}

// A database as an older program prepared it loses the keys that every line would pay for, and
// rules about rows stand in their place.
func TestPreparedByAnOlderProgram(t *testing.T) {
	database := filled(t)
	owner := super(t, database)
	of := func() []string {
		return list[string](t, owner, `SELECT conname::text FROM pg_constraint WHERE conrelid IN ('hub.entry'::regclass, 'hub.ledger_head'::regclass, 'hub.outbox'::regclass) ORDER BY 1`)
	}
	want := of()
	exec(t, owner, `DROP POLICY headed ON hub.entry; DROP POLICY counted ON hub.entry; DROP POLICY counted ON hub.ledger_head;
		ALTER TABLE hub.entry ADD CONSTRAINT entry_association_game_fkey FOREIGN KEY (association, game) REFERENCES hub.ledger_head (association, game);
		ALTER TABLE hub.entry ADD CONSTRAINT entry_seq_check CHECK (seq > 0);
		ALTER TABLE hub.ledger_head ADD CONSTRAINT ledger_head_epoch_check CHECK (epoch > 0);
		ALTER TABLE hub.outbox ADD CONSTRAINT outbox_pkey PRIMARY KEY (id)`)
	if err := postgres.Prepare(t.Context(), running(t).Super(database)); err != nil {
		t.Fatal(err)
	}
	if got := of(); !slices.Equal(got, want) {
		t.Errorf("keys and checks %v, want %v", got, want)
	}
	if got := list[string](t, owner, "SELECT polname::text FROM pg_policy WHERE polname IN ('counted', 'headed') ORDER BY 1"); len(got) != 3 {
		t.Errorf("rules %v", got)
	}
}

// Several who prepare one database at once wait for each other.
func TestPreparedByManyAtOnce(t *testing.T) {
	c := running(t)
	database := "many_" + strings.ToLower(rand.Text()) // another one each time the test runs
	if err := c.Make(t.Context(), database, ""); err != nil {
		t.Fatal(err)
	}
	done := make(chan error, 4)
	for range cap(done) {
		go func() { done <- postgres.Prepare(t.Context(), c.Super(database)) }()
	}
	for range cap(done) {
		if err := <-done; err != nil {
			t.Error(err)
		}
	}
	closed(t, open(t, c.URL(app, database)))
}
