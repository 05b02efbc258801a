package main

import (
	"crypto/rand"
	"testing"

	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/postgres"
)

// nation is a PostgreSQL that is prepared and three nodes: the store, and a hub's arguments.
func nation(t *testing.T) (store *postgres.Store, arguments []string) {
	t.Helper()
	c := ownPostgres(t)
	must(t, "hub", "prepare", "--postgres", c.Super("hub"))
	nodes, keys := threeNodes(t)
	url := c.URL(hubApp, "hub")
	store, err := postgres.Open(t.Context(), url)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = store.Close() })
	return store, []string{"hub", "--name", "Harbour League", "--postgres", url, "--nats", nodes, "--nats-keys", keys}
}

// two are two hubs that run with the same arguments.
func two(t *testing.T, arguments []string) (hubs []*server) {
	t.Helper()
	for range 2 {
		hubs = append(hubs, serving(t, runAsProgram+"=1", "127.0.0.1:0", arguments...))
	}
	return hubs
}

// paired is the one association that a store has, its office, and the secret of a bench.
func paired(t *testing.T, store hubStore) (association string, desk *office.Office, secret string) {
	t.Helper()
	all, err := store.Associations(t.Context())
	if err != nil || len(all) != 1 {
		t.Fatal(all, err)
	}
	desk = office.New(store, all[0].ID, office.Now, rand.Reader)
	secret, _, err = desk.Issue(t.Context(), office.Bench, "Saltworks Arena", office.BenchLasts, office.By{Who: "test"})
	if err != nil {
		t.Fatal(err)
	}
	return all[0].ID, desk, secret
}
