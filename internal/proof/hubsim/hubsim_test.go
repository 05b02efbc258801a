package hubsim

import (
	"errors"
	"fmt"
	"os"
	"testing"

	"whistlestop/internal/hub/postgres"
	"whistlestop/internal/hub/postgres/private"
	"whistlestop/internal/proof/faults"
	"whistlestop/internal/proof/seeds"
)

// TestMain puts the fault layer under SQLite before any test opens a database.
func TestMain(m *testing.M) {
	if err := faults.Install(); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	os.Exit(m.Run())
}

// One seed after the other, each a hub with its benches; WHISTLESTOP_HUB_SEEDS asks for
// more of them, WHISTLESTOP_HUB_SEED from which on.
func TestSeeds(t *testing.T) {
	otherwise := uint64(150)
	if testing.Short() {
		otherwise = 20
	}
	from, count := seeds.Number(t, "WHISTLESTOP_HUB_SEED", 1), seeds.Number(t, "WHISTLESTOP_HUB_SEEDS", otherwise)
	all := each(t, from, count, Play)
	if all.Cuts == 0 || all.Forks == 0 || all.Fences == 0 || all.Acknowledged == 0 || all.Lost == 0 {
		t.Errorf("the seeds show too little: %+v", all)
	}
	t.Logf("%d seeds: %+v", count, all)
}

// each plays seeds one after the other and counts what happened in them.
func each(t *testing.T, from, count uint64, play func(testing.TB, uint64) ([]string, Counts)) (all Counts) {
	t.Helper()
	for seed := from; seed < from+count; seed++ {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			found, counts := play(t, seed)
			for _, fault := range found {
				t.Error(fault)
			}
			all.add(counts)
		})
		if played := seed - from + 1; played%50 == 0 {
			fmt.Printf("%d seeds: %+v\n", played, all)
		}
	}
	return all
}

// The same with two hubs over PostgreSQL, a bus that loses, doubles, mixes up and is lost,
// connections that break before or behind what was sent, a server that ends them or is
// killed. WHISTLESTOP_NATION_SEEDS asks for more of them, WHISTLESTOP_NATION_SEED from
// which on; on a disk in memory (TMPDIR) they take a tenth of the time.
func TestNationSeeds(t *testing.T) {
	otherwise := uint64(12)
	if testing.Short() {
		otherwise = 2
	}
	from, count := seeds.Number(t, "WHISTLESTOP_NATION_SEED", 1), seeds.Number(t, "WHISTLESTOP_NATION_SEEDS", otherwise)
	const database = "hub"
	cluster, err := private.Start(t.Context())
	if errors.Is(err, private.ErrNoPrograms) {
		t.Skip(err)
	}
	if err != nil {
		t.Fatal(err)
	}
	defer func() {
		if err := cluster.Stop(); err != nil {
			t.Error(err)
		}
	}()
	if err = cluster.Make(t.Context(), database, ""); err == nil {
		err = postgres.Prepare(t.Context(), cluster.Super(database))
	}
	if err != nil {
		t.Fatal(err)
	}
	yard := NewYard(t, cluster, database)
	defer func() {
		if err := yard.Close(); err != nil {
			t.Error(err)
		}
	}()
	all := each(t, from, count, func(t testing.TB, seed uint64) ([]string, Counts) {
		return yard.Play(t, seed, seed%10 == 1)
	})
	if count >= otherwise && !testing.Short() && (all.Cuts == 0 || all.Forks == 0 || all.Acknowledged == 0 || all.Broken == 0 || all.Killed == 0 || all.Wiped == 0 || all.Shown == 0 || all.Together == 0) {
		t.Errorf("the seeds show too little: %+v", all)
	}
	t.Logf("%d seeds: %+v", count, all)
}
