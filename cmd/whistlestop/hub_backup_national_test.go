package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/people"
	"whistlestop/season/league"
)

// A country's hub is copied while it runs, goes on, and somebody is deleted. The copy is
// put into another database: every head is as it was, whoever was deleted is not there,
// and a bench refills what came in after the copy was written.
func TestARestoreOfACountrysHub(t *testing.T) {
	t.Parallel() // it waits most of its time
	c, folder := ownPostgres(t), t.TempDir()
	url := c.URL(hubApp, "hub")
	must(t, "hub", "prepare", "--postgres", c.Super("hub"))
	data := filepath.Join(folder, "hub")
	p, out := running(t, "hub", "--postgres", url, "--listen", "127.0.0.1:0", "--name", "Harbour League", "--data", data)
	ask := admin(t, out)
	pair := linkOf(t, ask("/admin/bench", "label", "Saltworks Arena"))
	bench, _ := running(t, "demo", "--moment", "power-play", "--data", filepath.Join(folder, "bench"), "--listen", "127.0.0.1:0", "--hub", pair)
	games, err := bench.store.Ends(t.Context())
	if err != nil || len(games) != 1 {
		t.Fatal(games, err)
	}
	secret, err := p.hub.people.First(t.Context(), "Alex Marlowe", "")
	if err != nil {
		t.Fatal(err)
	}
	alex, err := p.hub.people.Known(t.Context(), secret, "", false)
	if err != nil {
		t.Fatal(err)
	}
	for game, entries := range games {
		hubHas(t, p, game, entries)
		at := ledgers.Where{Association: p.hub.id, Game: game}
		if err := p.hub.store.KeepNames(t.Context(), at, []ledgers.Name{{Commitment: "#a", Naming: string(league.ByName), Text: "Sam Withdrawn"}}); err != nil {
			t.Fatal(err)
		}
		copies := filepath.Join(folder, "copies")
		first, apart := filepath.Join(copies, "monday"), filepath.Join(folder, "safe", "monday")
		if said := must(t, "hub", "backup", first, "--postgres", url, "--people", apart); !strings.Contains(said, "1 games") {
			t.Error(said)
		}
		if _, failed := command(t, "hub", "backup", first, "--postgres", url); !strings.Contains(failed, "was not saved") {
			t.Error(failed)
		}
		postShot(t, bench, game, 1)
		hubHas(t, p, game, entries+1)
		if err := p.hub.people.Forget(t.Context(), alex, alex.Person); err != nil {
			t.Fatal(err)
		}
		p.forgot()
		raw, err := os.ReadFile(filepath.Join(data, deletionsFile))
		if err != nil || !strings.Contains(string(raw), alex.Person) {
			t.Fatalf("%s %v", raw, err)
		}
		must(t, "hub", "backup", filepath.Join(copies, "tuesday"), "--postgres", url) // which keeps the list beside all copies
		association := p.hub.id
		address := p.hub.address
		if err := p.Close(); err != nil {
			t.Fatal(err)
		}

		if err := c.Make(t.Context(), "again", ""); err != nil {
			t.Fatal(err)
		}
		super, next := c.Super("again"), c.URL(hubApp, "again")
		said := must(t, "hub", "restore", first, "--postgres", super, "--people", apart)
		for _, want := range []string{"1 games with", "ends as it did", "all heads together: ", "1 people were deleted once more", "1 games show numbers"} {
			if !strings.Contains(said, want) {
				t.Errorf("%q is not in %s", want, said)
			}
		}
		if _, failed := command(t, "hub", "restore", first, "--postgres", super, "--people", apart); !strings.Contains(failed, "a hub in this database already") {
			t.Error(failed)
		}
		if _, failed := command(t, "hub", "restore", filepath.Join(folder, "nothing"), "--postgres", super); !strings.Contains(failed, "cannot be taken") {
			t.Error(failed)
		}
		again, _ := running(t, "hub", "--postgres", next, "--listen", strings.TrimPrefix(address, "http://"), "--name", "Harbour League")
		if again.hub.id != association {
			t.Fatalf("association %s, want %s", again.hub.id, association)
		}
		all, err := people.New(again.hub.store, association, nil, nil).Everybody(t.Context())
		if err != nil || len(all) != 1 || all[0].Name != "Robin Ashdown" {
			t.Errorf("%+v %v", all, err)
		}
		if names, err := again.hub.store.Names(t.Context(), at); err != nil || len(names) != 0 {
			t.Errorf("names came out of a copy: %+v %v", names, err)
		}
		hubHas(t, again, game, entries+1) // from the bench
	}
}

// The people's part of a copy goes after thirty days, and nothing else beside it.
func TestOldPeopleGo(t *testing.T) {
	t.Parallel() // it waits most of its time
	c, folder := ownPostgres(t), t.TempDir()
	must(t, "hub", "prepare", "--postgres", c.Super("hub"))
	p, _ := running(t, "hub", "--postgres", c.URL(hubApp, "hub"), "--listen", "127.0.0.1:0", "--name", "Harbour League")
	old := filepath.Join(folder, "old")
	if err := os.Mkdir(old, 0o700); err != nil {
		t.Fatal(err)
	}
	other := filepath.Join(folder, "photos", "people")
	if err := os.MkdirAll(other, 0o700); err != nil {
		t.Fatal(err)
	}
	before := time.Now().Add(-31 * 24 * time.Hour).UnixMilli()
	if _, err := p.hub.nation.store.BackUp(t.Context(), filepath.Join(old, "games"), filepath.Join(old, "people"), entry.Millis(before)); err != nil {
		t.Fatal(err)
	}
	if said := must(t, "hub", "backup", filepath.Join(folder, "new"), "--postgres", c.URL(hubApp, "hub")); !strings.Contains(said, filepath.Join(old, "people")) {
		t.Error(said)
	}
	for path, there := range map[string]bool{
		filepath.Join(old, "people"): false, filepath.Join(old, "games"): true, filepath.Join(folder, "new", "people"): true, other: true,
	} {
		if _, err := os.Stat(path); (err == nil) != there {
			t.Errorf("%s: %v, want it there: %t", path, err, there)
		}
	}
}
