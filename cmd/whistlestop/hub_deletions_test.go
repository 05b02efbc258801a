package main

import (
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/people"
	"whistlestop/season/league"
)

// Somebody is deleted after a copy was written. In whichever folder the copy is put, with
// the list they are gone.
func TestACopyBringsNobodyBack(t *testing.T) {
	folder := t.TempDir()
	data := filepath.Join(folder, "hub")
	p, out := running(t, "hub", "--data", data, "--listen", "127.0.0.1:0", "--name", "Harbour League")
	admin(t, out)
	ctx := t.Context()
	secret, err := p.hub.people.First(ctx, "Alex Marlowe", "")
	if err != nil {
		t.Fatal(err)
	}
	alex, err := p.hub.people.Known(ctx, secret, "", false)
	if err != nil {
		t.Fatal(err)
	}
	copied := filepath.Join(folder, "copy.db")
	running(t, "hub", "backup", copied, "--data", data)
	if err := p.hub.people.Forget(ctx, alex, alex.Person); err != nil {
		t.Fatal(err)
	}
	p.forgot()
	list := filepath.Join(data, deletionsFile)
	raw, err := os.ReadFile(list)
	if err != nil || !strings.Contains(string(raw), alex.Person) || strings.Contains(string(raw), "Alex") {
		t.Fatalf("%s %v", raw, err)
	}
	if err := p.Close(); err != nil {
		t.Fatal(err)
	}
	everybody := func(p *Program) (names string) {
		t.Helper()
		all, err := people.New(p.hub.store, p.hub.id, nil, nil).Everybody(ctx)
		if err != nil {
			t.Fatal(err)
		}
		for _, one := range all {
			names += one.Name + ";"
		}
		return names
	}
	// In another folder, with the list of the hub of before.
	next, said := running(t, "hub", "restore", copied, "--data", filepath.Join(folder, "next"), "--deleted", list)
	next.hub.id = p.hub.id
	if got := everybody(next); got != "Robin Ashdown;" || !strings.Contains(said.text.String(), "1 people were deleted once more") {
		t.Errorf("%s %s", got, said.text.String())
	}
	// Put back in its own folder by hand, at the next start.
	whole, err := os.ReadFile(copied)
	if err != nil {
		t.Fatal(err)
	}
	for _, end := range []string{"", "-wal", "-shm"} {
		if err := os.Remove(filepath.Join(data, "hub.db"+end)); err != nil && !os.IsNotExist(err) {
			t.Fatal(err)
		}
	}
	if err := os.WriteFile(filepath.Join(data, "hub.db"), whole, 0o600); err != nil {
		t.Fatal(err)
	}
	again, _ := running(t, "hub", "--data", data, "--listen", "127.0.0.1:0")
	if got := everybody(again); got != "Robin Ashdown;" {
		t.Error(got)
	}
	if err := again.Close(); err != nil {
		t.Fatal(err)
	}
	// A list that cannot be read whole is no list.
	if err := os.WriteFile(list, raw[:len(raw)-9], 0o600); err != nil {
		t.Fatal(err)
	}
	bad := &Program{Out: &printed{}, Log: io.Discard}
	if err := bad.Run(ctx, []string{"hub", "--data", data, "--listen", "127.0.0.1:0"}); err == nil || !strings.Contains(bad.explain(err), "cannot be read whole") {
		t.Error(err)
	}
	if err := bad.Close(); err != nil {
		t.Error(err)
	}
}

// A player's name is withdrawn after a copy was written, at a bench that is gone by then.
// What is restored from the copy has no name of a player, also no other one.
func TestACopyBringsNoNameOfAPlayerBack(t *testing.T) {
	folder := t.TempDir()
	data, copied := filepath.Join(folder, "hub"), filepath.Join(folder, "copy.db")
	p, out := running(t, "hub", "--data", data, "--listen", "127.0.0.1:0", "--name", "Harbour League")
	pair := linkOf(t, admin(t, out)("/admin/bench", "label", "Saltworks Arena"))
	bench, _ := running(t, "demo", "--moment", "warm-up", "--data", filepath.Join(folder, "bench"), "--listen", "127.0.0.1:0", "--hub", pair)
	games, err := bench.store.Ends(t.Context())
	if err != nil || len(games) != 1 {
		t.Fatal(games, err)
	}
	for game, entries := range games {
		hubHas(t, p, game, entries)
		at := ledgers.Where{Association: p.hub.id, Game: game}
		names := []ledgers.Name{
			{Commitment: "#a", Naming: string(league.ByName), Text: "Sam Withdrawn"},
			{Commitment: "#b", Naming: string(league.ByInitial), Text: "Kim W."},
		}
		if err := p.hub.store.KeepNames(t.Context(), at, names); err != nil {
			t.Fatal(err)
		}
		running(t, "hub", "backup", copied, "--data", data)
		next, said := running(t, "hub", "restore", copied, "--data", filepath.Join(folder, "next"))
		if list, err := next.hub.store.Names(t.Context(), at); err != nil || len(list) != 0 {
			t.Errorf("names came out of a copy: %+v %v", list, err)
		}
		if !strings.Contains(said.text.String(), "1 games show numbers until their bench is heard again") {
			t.Error(said.text.String())
		}
		if list, err := p.hub.store.Names(t.Context(), at); err != nil || len(list) != len(names) {
			t.Errorf("the hub that was copied has %+v %v", list, err)
		}
	}
}
