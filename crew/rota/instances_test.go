package rota_test

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"whistlestop/crew/rota"
	"whistlestop/internal/proof/openplay"
)

// The instances are invented ones with bounds and optima of general
// integer-programming solvers (CBC 2.10.8, HiGHS 1.15.3); testdata/checks-season/
// rota/FORMAT.md says what their rules R1 to R8 are. WHISTLESTOP_ROTA_CHECKS names
// another folder of the same form.

type instance struct {
	Name    string  `json:"name"`
	Weeks   int     `json:"weeks"`
	Buffer  int     `json:"buffer_min"`
	Travel  [][]int `json:"travel_min"`
	Weights struct {
		Must  int `json:"must_empty"`
		May   int `json:"may_empty"`
		Fair  int `json:"fair"`
		Week  int `json:"week_extra"`
		Far   int `json:"far"`
		Other int `json:"other_game"`
	} `json:"weights"`
	Seats []struct {
		Seat string `json:"seat"`
		Need string `json:"need"`
	} `json:"seats"`
	Games []struct {
		Day, Week, Rink, Start, End int
		Kind, Home, Visitors        string
	} `json:"games"`
	Families []struct {
		ID         string   `json:"id"`
		Teams      []string `json:"teams"`
		OneAtATime bool     `json:"one_at_a_time"`
		Target     int      `json:"target"`
	} `json:"families"`
	Volunteers []struct {
		Family    string            `json:"family"`
		Ready     map[string]string `json:"ready"`
		Days      []string          `json:"days"`
		Away      []int             `json:"away_weeks"`
		NotBefore int               `json:"not_before"`
		DayCap    int               `json:"day_cap"`
		SeasonCap int               `json:"season_cap"`
		Far       []int             `json:"far"`
	} `json:"volunteers"`
	Known struct {
		Bound     int `json:"bound"`
		Best      int `json:"best"`
		FlowBound int `json:"flow_bound"`
		Pairs     int `json:"eligible_pairs"`
	} `json:"known"`
}

func instances(t testing.TB) []instance {
	t.Helper()
	folder := os.Getenv("WHISTLESTOP_ROTA_CHECKS")
	if folder == "" {
		folder = "testdata/checks-season/rota"
	}
	files, err := filepath.Glob(filepath.Join(openplay.FromRoot(folder), "*.json"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no instances in %s: %v", folder, err)
	}
	var list []instance
	for _, file := range files {
		raw, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		var one instance
		if err := json.Unmarshal(raw, &one); err != nil {
			t.Fatalf("%s: %v", file, err)
		}
		list = append(list, one)
	}
	slices.SortFunc(list, func(a, b instance) int { return len(a.Games) - len(b.Games) })
	return list
}

// problem leaves out every pair that R2 to R4 forbid.
func (in instance) problem() (p rota.Problem, pairs int) {
	p = rota.Problem{Travel: in.Travel, Buffer: in.Buffer, Fair: in.Weights.Fair, WeekExtra: in.Weights.Week}
	for _, g := range in.Games {
		p.Games = append(p.Games, rota.Game{Day: g.Day, Week: g.Week, Rink: g.Rink, Start: g.Start, End: g.End})
	}
	family := map[string]int{}
	for i, f := range in.Families {
		family[f.ID] = i
		p.Families = append(p.Families, rota.Family{Target: f.Target, OneAtATime: f.OneAtATime})
	}
	for _, v := range in.Volunteers {
		p.People = append(p.People, rota.Person{Family: family[v.Family], DayCap: v.DayCap, SeasonCap: v.SeasonCap})
	}
	for g, game := range in.Games {
		for _, seat := range in.Seats {
			slot := rota.Slot{Game: g, Empty: in.Weights.May}
			if seat.Need == "must" {
				slot.Empty = in.Weights.Must
			}
			for i, v := range in.Volunteers {
				level, ready := v.Ready[seat.Seat]
				teams := in.Families[family[v.Family]].Teams
				own := slices.Contains(teams, game.Home) || slices.Contains(teams, game.Visitors)
				if !ready || !slices.Contains(v.Days, game.Kind) || slices.Contains(v.Away, game.Week) ||
					game.Start < v.NotBefore || own && seat.Seat == "box" || in.elsewhere(p, teams, g) {
					continue
				}
				c := rota.Candidate{Person: i, Role: map[string]rota.Role{"guide": rota.Guide, "ready": rota.Ready, "learner": rota.Learner}[level]}
				if slices.Contains(v.Far, game.Rink) {
					c.Cost += in.Weights.Far
				}
				if !own {
					c.Cost += in.Weights.Other
				}
				slot.Candidates = append(slot.Candidates, c)
				pairs++
			}
			p.Slots = append(p.Slots, slot)
		}
	}
	return p, pairs
}

// elsewhere says whether another game of the family's teams clashes with this one.
func (in instance) elsewhere(p rota.Problem, teams []string, game int) bool {
	for o, other := range in.Games {
		if o != game && (slices.Contains(teams, other.Home) || slices.Contains(teams, other.Visitors)) && p.Clash(game, o) {
			return true
		}
	}
	return false
}

func TestInstances(t *testing.T) {
	for _, in := range instances(t) {
		if len(in.Games) > 200 && (raced || testing.Short()) {
			fmt.Printf("rota %s: left out of quick runs and of those under the race detector\n", in.Name)
			continue
		}
		p, pairs := in.problem()
		if in.Known.Pairs > 0 && pairs != in.Known.Pairs {
			t.Errorf("%s: %d pairs are allowed, the file says %d", in.Name, pairs, in.Known.Pairs)
		}
		moves := 300_000
		if len(in.Games) > 200 {
			moves = 3_000_000
		}
		if testing.Short() {
			moves = 0
		}
		begun := time.Now()
		made, err := rota.Make(p, rota.Options{Seed: 1, Moves: moves, Steps: 1_000_000 / (pairs + 1)})
		if err != nil {
			t.Errorf("%s: %v", in.Name, err)
			continue
		}
		fmt.Printf("rota %s: cost %d, bound %d, seconds %.1f\n", in.Name, made.Cost, made.Bound, time.Since(begun).Seconds())
		for _, fault := range rota.Check(p, made.Who) {
			t.Errorf("%s: %v", in.Name, fault)
		}
		if in.Known.FlowBound > 0 && made.Flow != in.Known.FlowBound {
			t.Errorf("%s: the flow costs %d, the file says %d", in.Name, made.Flow, in.Known.FlowBound)
		}
		if made.Cost < in.Known.Bound || made.Cost < made.Bound {
			t.Errorf("%s: cost %d is below what is possible: %d, %d", in.Name, made.Cost, in.Known.Bound, made.Bound)
		}
		// The optimum where it is known, or half a hundredth above what nothing is below.
		most := in.Known.Best
		if in.Known.Best != in.Known.Bound {
			most = in.Known.Bound + in.Known.Bound/200
		}
		if moves > 0 && most > 0 && made.Cost > most {
			t.Errorf("%s: cost %d; %d is known, and %d is to be reached", in.Name, made.Cost, in.Known.Best, most)
		}
	}
}
