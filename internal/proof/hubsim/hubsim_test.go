package hubsim

import (
	"fmt"
	"os"
	"testing"

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
	var all Counts
	for seed := from; seed < from+count; seed++ {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			found, counts := Play(t, seed)
			for _, fault := range found {
				t.Error(fault)
			}
			all.Cuts += counts.Cuts
			all.Forks += counts.Forks
			all.Fences += counts.Fences
			all.Acknowledged += counts.Acknowledged
			all.Lost += counts.Lost
		})
	}
	if all.Cuts == 0 || all.Forks == 0 || all.Fences == 0 || all.Acknowledged == 0 || all.Lost == 0 {
		t.Errorf("the seeds show too little: %+v", all)
	}
	t.Logf("%d seeds: %+v", count, all)
}
