package main

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"

	"whistlestop/internal/hub/postgres/private"
)

// PostgreSQL hands on its log, as deploy says, and is copied while a hub writes. Everything
// of it is thrown away. What is put back from the copy and the log ends where the log did,
// or at a moment before; a bench sends what is lacking.
func TestADatabaseIsPutBackFromItsLog(t *testing.T) {
	t.Parallel() // it waits most of its time
	if err := private.There(); err != nil {
		t.Skip(err)
	}
	if found, err := filepath.Glob("/usr/lib/postgresql/*/bin/pg_basebackup"); err != nil || len(found) == 0 {
		t.Skip("pg_basebackup is not installed here: install Debian's package postgresql-client")
	}
	place, err := private.Place()
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = os.RemoveAll(place) })
	script := func(name string) string { return filepath.Join(place, name) }
	for _, name := range []string{"keep-log", "copy-base", "put-back"} {
		raw, err := os.ReadFile(filepath.Join("..", "..", "deploy", "postgresql", name))
		if err == nil {
			err = os.WriteFile(script(name), raw, 0o755)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	backups := filepath.Join(place, "backups")
	run := func(name string, arguments ...string) string {
		t.Helper()
		said, err := private.Run(t.Context(), name, arguments...)
		if err != nil {
			t.Fatal(err)
		}
		return said
	}
	run("mkdir", "-p", filepath.Join(backups, "log"))
	c, err := private.Start(t.Context(), archiving(t, place, backups)...)
	if err != nil {
		t.Fatal(err)
	}
	there := true
	away := func() {
		if there {
			there = false
			if err := c.Stop(); err != nil {
				t.Error(err)
			}
		}
	}
	t.Cleanup(away)
	if err := c.Make(t.Context(), "hub", ""); err != nil {
		t.Fatal(err)
	}
	must(t, "hub", "prepare", "--postgres", c.Super("hub"))
	p, out := running(t, "hub", "--postgres", c.URL(hubApp, "hub"), "--listen", "127.0.0.1:0", "--name", "Harbour League")
	pair := linkOf(t, admin(t, out)("/admin/bench", "label", "Saltworks Arena"))
	bench, _ := running(t, "demo", "--moment", "power-play", "--data", filepath.Join(t.TempDir(), "bench"), "--listen", "127.0.0.1:0", "--hub", pair)
	games, err := bench.store.Ends(t.Context())
	if err != nil || len(games) != 1 {
		t.Fatal(games, err)
	}
	for game, entries := range games {
		hubHas(t, p, game, entries)
		run(script("copy-base"), c.Super("postgres"), backups)
		first := must(t, "hub", "heads", "--postgres", c.URL(hubApp, "hub"))
		time.Sleep(time.Second) // times of copies are whole seconds
		moment := fromCluster(t, c, "SELECT clock_timestamp()::text")

		postShot(t, bench, game, 1)
		hubHas(t, p, game, entries+1)
		second := must(t, "hub", "heads", "--postgres", c.URL(hubApp, "hub"))
		piece := fromCluster(t, c, "SELECT pg_walfile_name(pg_switch_wal())")
		for began := time.Now(); ; time.Sleep(50 * time.Millisecond) {
			if _, err := os.Stat(filepath.Join(backups, "log", piece)); err == nil {
				break
			}
			if time.Since(began) > time.Minute {
				t.Fatal("the log was not handed on")
			}
		}
		postShot(t, bench, game, 2) // which is in no log that was handed on
		hubHas(t, p, game, entries+2)
		address, association := p.hub.address, p.hub.id
		if err := p.Close(); err != nil {
			t.Fatal(err)
		}
		away()

		back := func(name string, arguments ...string) *private.Cluster {
			t.Helper()
			folder := filepath.Join(place, name)
			run(script("put-back"), append([]string{backups, filepath.Join(folder, "data")}, arguments...)...)
			again, err := private.Over(t.Context(), folder)
			if err != nil {
				t.Fatal(err)
			}
			t.Cleanup(func() { _ = again.Kill() })
			return again
		}
		before := back("before", moment)
		if got := must(t, "hub", "heads", "--postgres", before.URL(hubApp, "hub")); got != first {
			t.Errorf("at %s: %s, want %s", moment, got, first)
		}
		again := back("again")
		if got := must(t, "hub", "heads", "--postgres", again.URL(hubApp, "hub")); got != second || first == second {
			t.Errorf("%s, want %s, and not %s", got, second, first)
		}
		if _, err := private.Run(t.Context(), script("put-back"), backups, filepath.Join(place, "again", "data")); err == nil || !strings.Contains(err.Error(), "is not empty") {
			t.Error(err)
		}
		if _, err := private.Run(t.Context(), script("put-back"), backups, filepath.Join(place, "older"), "2020-01-01 00:00:00+00"); err == nil || !strings.Contains(err.Error(), "no copy") {
			t.Error(err)
		}
		next, _ := running(t, "hub", "--postgres", again.URL(hubApp, "hub"), "--listen", strings.TrimPrefix(address, "http://"), "--name", "Harbour League")
		if next.hub.id != association {
			t.Errorf("association %s, want %s", next.hub.id, association)
		}
		hubHas(t, next, game, entries+2) // from the bench
	}
}

// archiving is the settings of deploy, with the folders of a test.
func archiving(t *testing.T, place, backups string) (settings []string) {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join("..", "..", "deploy", "postgresql", "archive.conf"))
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(raw)) {
		name, value, found := strings.Cut(strings.TrimSpace(line), " = ")
		if !found || strings.HasPrefix(name, "#") {
			continue
		}
		value = strings.ReplaceAll(strings.ReplaceAll(strings.Trim(value, "'"), "/usr/local/lib/whistlestop", place), "/backups", backups)
		settings = append(settings, name+"="+value)
	}
	if len(settings) != 4 {
		t.Fatal(settings)
	}
	return settings
}

// fromCluster asks a cluster for one text.
func fromCluster(t *testing.T, c *private.Cluster, question string) (text string) {
	t.Helper()
	conn, err := pgx.Connect(t.Context(), c.Super("hub"))
	if err == nil {
		err = errors.Join(conn.QueryRow(t.Context(), question).Scan(&text), conn.Close(t.Context()))
	}
	if err != nil {
		t.Fatal(err)
	}
	return text
}
