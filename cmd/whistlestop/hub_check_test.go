package main

import (
	"database/sql"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/demo"
)

// Somebody changes a letter in the database of a hub: the hub finds the game when it
// follows all chains, says so to whoever looks and whoever draws graphs, and goes on.
func TestALineThatWasChanged(t *testing.T) {
	t.Parallel() // it waits most of its time
	folder := t.TempDir()
	data := filepath.Join(folder, "hub")
	p, out := running(t, "hub", "--data", data, "--listen", "127.0.0.1:0", "--metrics", "127.0.0.1:0")
	pair := linkOf(t, admin(t, out)("/admin/bench", "label", "office"))
	for _, moment := range []string{"overtime", "power-play"} {
		ledger, err := demo.Ledger(moment, 1_700_000_000_000)
		if err != nil {
			t.Fatal(err)
		}
		var content []byte
		lines := entry.Lines{}
		for _, e := range ledger {
			if content, err = lines.Append(content, e); err != nil {
				t.Fatal(err)
			}
		}
		file := filepath.Join(folder, moment+".jsonl")
		if err := os.WriteFile(file, content, 0o600); err != nil {
			t.Fatal(err)
		}
		must(t, "hub", "send", file, "--to", pair)
	}
	page := func(address string) string {
		t.Helper()
		answer, err := http.Get(address)
		if err != nil {
			t.Fatal(err)
		}
		raw, err := io.ReadAll(answer.Body)
		if closing := answer.Body.Close(); err != nil || closing != nil {
			t.Fatal(err, closing)
		}
		return string(raw)
	}
	figures := out.after(t, "Figures for graphs: ")
	if err := p.followAll(t.Context()); err != nil {
		t.Fatal(err)
	}
	if said := page(p.hub.address + "/status"); !strings.Contains(said, "chains of all 2 games") || strings.Contains(said, "do not hold") {
		t.Error(said)
	}
	if said := page(figures); !strings.Contains(said, "hub_games_followed 2\n") || !strings.Contains(said, "hub_games_bad 0\n") || !strings.Contains(said, "hub_forks 0\n") {
		t.Error(said)
	}
	db, err := sql.Open("sqlite", filepath.Join(data, "hub.db"))
	if err != nil {
		t.Fatal(err)
	}
	changed, err := db.Exec(`UPDATE entry SET line = CAST(replace(CAST(line AS TEXT), '"seat"', '"seaT"') AS BLOB)
		WHERE seq = 5 AND game = (SELECT min(game) FROM entry)`)
	if err != nil {
		t.Fatal(err)
	}
	if rows, err := changed.RowsAffected(); err != nil || rows != 1 {
		t.Fatal(rows, err)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	if err := p.followAll(t.Context()); err != nil {
		t.Fatal(err)
	}
	if said := page(p.hub.address + "/status"); !strings.Contains(said, "chains of 1 games do not hold") {
		t.Error(said)
	}
	if said := page(figures); !strings.Contains(said, "hub_games_bad 1\n") {
		t.Error(said)
	}
	if _, failed := command(t, "hub", "backup", filepath.Join(folder, "copy.db"), "--data", data); !strings.Contains(failed, "is not whole") {
		t.Error(failed)
	}
}
