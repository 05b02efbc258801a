package schedule_test

import (
	"cmp"
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"whistlestop/internal/proof/openplay"
	"whistlestop/season/schedule"
)

// folder has the published tables and instances; WHISTLESTOP_SEASON_CHECKS names
// another one of the same form. Each file names its source.
func folder() string {
	if named := os.Getenv("WHISTLESTOP_SEASON_CHECKS"); named != "" {
		return openplay.FromRoot(named)
	}
	return openplay.FromRoot("testdata/checks-season")
}

func read(t *testing.T, name string, into any) {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join(folder(), "schedule", name))
	if err != nil {
		t.Skipf("no checks of schedules: %v", err)
	}
	if err := json.Unmarshal(raw, into); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
}

func sorted(round schedule.Round) schedule.Round {
	round = slices.Clone(round)
	slices.SortFunc(round, func(a, b schedule.Pairing) int { return min(a.Home, a.Away) - min(b.Home, b.Away) })
	return round
}

func pairs(list [][2]int, from int) (round schedule.Round) {
	for _, p := range list {
		round = append(round, schedule.Pairing{Home: p[0] - from, Away: p[1] - from})
	}
	return sorted(round)
}

func TestChecks(t *testing.T) {
	// Kinds as in the other checks: tables and instances that were published, unless a
	// file names another kind.
	right, all := map[string]int{}, map[string]int{}
	count := func(kind string, good bool, format string, arguments ...any) {
		kind = cmp.Or(kind, "published")
		all[kind]++
		if good {
			right[kind]++
		} else {
			t.Errorf(format, arguments...)
		}
	}
	var berger struct {
		Kind   string `json:"kind"`
		Tables []struct {
			Teams     int        `json:"teams"`
			Rounds    [][][2]int `json:"rounds"`
			Breaks    int        `json:"breaks"`
			CarryOver int        `json:"carry_over"`
		} `json:"tables"`
	}
	read(t, "berger.json", &berger)
	for _, table := range berger.Tables {
		made, err := schedule.RoundRobin(table.Teams)
		good := err == nil && len(made) == len(table.Rounds)
		for r := range table.Rounds {
			good = good && slices.Equal(sorted(made[r]), pairs(table.Rounds[r], 1))
		}
		count(berger.Kind, good, "%d teams: made %v, published %v", table.Teams, made, table.Rounds)
		breaks, over := schedule.Breaks(made, table.Teams), schedule.CarryOver(made, table.Teams)
		count(berger.Kind, breaks == table.Breaks && over == table.CarryOver, "%d teams: %d breaks, carry-over %d; want %d, %d",
			table.Teams, breaks, over, table.Breaks, table.CarryOver)
	}
	var travel struct {
		Kind      string `json:"kind"`
		Instances []struct {
			ID       string     `json:"id"`
			Teams    int        `json:"teams"`
			Distance [][]int    `json:"distance"`
			Optimum  int        `json:"optimum"`
			Solution [][][2]int `json:"solution"`
			Travel   int        `json:"travel"`
		} `json:"instances"`
	}
	read(t, "travel.json", &travel)
	for _, in := range travel.Instances {
		var rounds []schedule.Round
		for _, round := range in.Solution {
			rounds = append(rounds, pairs(round, 0))
		}
		total, err := schedule.Travel(rounds, in.Distance)
		faults := schedule.CheckDouble(rounds, in.Teams, 3, true)
		count(travel.Kind, err == nil && total == in.Travel && len(faults) == 0, "%s: %d, want %d (%v) %v", in.ID, total, in.Travel, err, faults)
	}
	sumRight, sum := 0, 0
	for _, kind := range slices.Sorted(maps.Keys(all)) {
		fmt.Printf("schedule, %s: %d of %d\n", kind, right[kind], all[kind])
		sumRight, sum = sumRight+right[kind], sum+all[kind]
	}
	fmt.Printf("schedule: %d of %d\n", sumRight, sum)
}

// What the literature proves of all sizes: the table has the fewest breaks there can
// be (n-2 for an even number, none for an odd one: de Werra 1981, from memory), and
// home games differ by one at most.
func TestRoundRobinsOfEverySize(t *testing.T) {
	for n := 2; n <= 40; n++ {
		rounds, err := schedule.RoundRobin(n)
		if err != nil {
			t.Fatal(err)
		}
		least := 0
		if n%2 == 0 {
			least = n - 2
		}
		if got := schedule.Breaks(rounds, n); got != least {
			t.Errorf("%d teams: %d breaks, want %d", n, got, least)
		}
		home, met := make([]int, n), map[[2]int]int{}
		for _, round := range rounds {
			seen := map[int]bool{}
			for _, g := range round {
				home[g.Home]++
				met[[2]int{min(g.Home, g.Away), max(g.Home, g.Away)}]++
				if seen[g.Home] || seen[g.Away] {
					t.Errorf("%d teams: somebody plays twice in a round", n)
				}
				seen[g.Home], seen[g.Away] = true, true
			}
		}
		if len(met) != n*(n-1)/2 || slices.Max(home)-slices.Min(home) > 1 {
			t.Errorf("%d teams: %d pairs met, home games %v", n, len(met), home)
		}
		if faults := schedule.CheckDouble(schedule.Twice(rounds), n, 0, n > 3); len(faults) > 0 {
			t.Errorf("%d teams, twice: %v", n, faults)
		}
	}
	for _, n := range []int{-1, 0, 1, 201} {
		if _, err := schedule.RoundRobin(n); err == nil {
			t.Errorf("a round robin of %d teams was made", n)
		}
	}
}
