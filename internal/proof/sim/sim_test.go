package sim

import (
	"fmt"
	"os"
	"runtime"
	"runtime/debug"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/synctest"

	"go.uber.org/goleak"

	"whistlestop/internal/proof/seeds"
)

func TestMain(m *testing.M) { goleak.VerifyTestMain(m) }

func play(t *testing.T, seed uint64) (outcome Outcome) {
	synctest.Test(t, func(t *testing.T) {
		defer func() {
			if caught := recover(); caught != nil { // before the bubble complains of what was left running
				panic(fmt.Sprintf("seed %d: %v\n%s", seed, caught, debug.Stack()))
			}
		}()
		folder := ""
		if seed%10 == 0 {
			folder = t.TempDir()
		}
		outcome = Play(t.Context(), seed, folder, synctest.Wait)
	})
	return outcome
}

// N3, with N1, T2 and T3 inside: games with everything going wrong. make soak
// plays as many as one likes; SEED plays one of them with its log.
func TestSeeds(t *testing.T) {
	first, count := seeds.Number(t, "WHISTLESTOP_SEED", 1), seeds.Number(t, "WHISTLESTOP_SEEDS", 60)
	if os.Getenv("WHISTLESTOP_SEEDS") == "" && (raced || testing.Short()) {
		count = 12
	}
	alone := os.Getenv("WHISTLESTOP_SEED") != "" && os.Getenv("WHISTLESTOP_SEEDS") == ""
	if alone {
		count = 1
	}
	total, entries, posted, refused, failed := map[string]int{}, 0, 0, 0, 0
	for seed := first; seed < first+count; seed++ {
		o := play(t, seed)
		entries, posted, refused = entries+o.Entries, posted+o.Posted, refused+o.Refused
		for name, n := range o.Counts {
			total[name] += n
		}
		if alone {
			t.Log(strings.Join(o.Log, "\n"))
		}
		if len(o.Faults) > 0 {
			failed++
			t.Errorf("seed %d:\n  %s", seed, strings.Join(o.Faults, "\n  "))
		}
		if failed > 5 {
			break
		}
	}
	var names []string
	for name, n := range total {
		names = append(names, name+" "+strconv.Itoa(n))
	}
	slices.Sort(names)
	t.Logf("seeds %d to %d: %d entries, %d batches, %d refused; %s", first, first+count-1, entries, posted, refused, strings.Join(names, ", "))
	if alone {
		return
	}
	for _, name := range []string{"crash", "cut", "full", "asleep", "reload", "disk", "stranger", "clock set", "switched off", "clocks that had to be doubted", "messages lost", "messages doubled", "sent again", "stretches of play"} {
		if total[name] == 0 {
			t.Errorf("nothing of the kind %q ever happened: the seeds show nothing about it", name)
		}
	}
}

// A seed replays exactly: everything that happened, in order, also on another
// number of processors.
func TestSeedReplays(t *testing.T) {
	for seed := uint64(1); seed <= 6; seed++ {
		first := play(t, seed)
		before := runtime.GOMAXPROCS(1)
		second := play(t, seed)
		runtime.GOMAXPROCS(before)
		if first.Trace != second.Trace {
			for i := range min(len(first.Log), len(second.Log)) {
				if first.Log[i] != second.Log[i] {
					t.Fatalf("seed %d went apart at line %d:\n%s\n%s", seed, i, first.Log[i], second.Log[i])
				}
			}
			t.Errorf("seed %d went another way the second time", seed)
		}
	}
}
