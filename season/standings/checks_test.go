package standings_test

import (
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"whistlestop/internal/proof/openplay"
	"whistlestop/season/standings"
)

// The checks are real tables and printed examples, each with its source in the
// file; testdata/checks-season/FORMAT.md describes them. WHISTLESTOP_SEASON_CHECKS
// names another folder of the same form.

type check struct {
	ID      string                    `json:"id"`
	Kind    string                    `json:"kind"`
	Rules   string                    `json:"rules"`
	Points  map[string]int            `json:"points"`
	Teams   []standings.Team          `json:"teams"`
	Games   [][]any                   `json:"games"`
	Rows    map[string]map[string]any `json:"rows"`
	Given   map[string]map[string]any `json:"given"`
	Seeding []standings.Team          `json:"seeding"`
	Minutes map[standings.Team]int    `json:"penalty_minutes"`
	First   standings.Team            `json:"first_goal"`
	Tables  []struct {
		Name    string             `json:"name"`
		Teams   []standings.Team   `json:"teams"`
		Order   []standings.Team   `json:"order"`
		Equal   [][]standings.Team `json:"equal"`
		Decided []struct {
			Teams []standings.Team `json:"teams"`
			By    string           `json:"by"`
		} `json:"decided"`
	} `json:"tables"`
}

func folder() string {
	if named := os.Getenv("WHISTLESTOP_SEASON_CHECKS"); named != "" {
		return openplay.FromRoot(named)
	}
	return openplay.FromRoot("testdata/checks-season")
}

func readChecks(t testing.TB) []check {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(folder(), "standings", "*.json"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no checks of standings in %s: %v", folder(), err)
	}
	var all []check
	for _, file := range files {
		raw, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		var some []check
		if err := json.Unmarshal(raw, &some); err != nil {
			t.Fatalf("%s: %v", file, err)
		}
		all = append(all, some...)
	}
	return all
}

// games turns the lines of a check into games.
func (c check) games(t testing.TB) []standings.Game {
	t.Helper()
	var list []standings.Game
	for i, line := range c.Games {
		g := standings.Game{
			ID: fmt.Sprintf("%s/%d", c.ID, i), Home: standings.Team(line[0].(string)), Away: standings.Team(line[1].(string)),
		}
		how := line[4].(string)
		if line[2] == nil && (how == "home" || how == "away" || how == "tie") {
			g.How, g.Won = standings.Regulation, standings.Outcome(how)
		} else {
			g.How = standings.How(how)
			home, _ := line[2].(float64)
			away, _ := line[3].(float64)
			g.HomeGoals, g.AwayGoals = int(home), int(away)
		}
		if c.First == g.Home || c.First == g.Away {
			g.First = c.First
		}
		list = append(list, g)
	}
	return list
}

// row reads the figures of a table; wins without their kind count as regulation's.
func row(figures map[string]any) standings.Row {
	n := func(name string) int {
		value, _ := figures[name].(float64)
		return int(value)
	}
	return standings.Row{
		Played: n("gp"), RegulationWins: n("w") + n("rw"), OvertimeWins: n("otw"), ShootOutWins: n("sow"),
		RegulationLosses: n("l") + n("rl"), OvertimeLosses: n("otl"), ShootOutLosses: n("sol"), Draws: n("t"),
		Points: n("pts"), GoalsFor: n("gf"), GoalsAgainst: n("ga"),
	}
}

func (c check) procedure(t testing.TB) standings.Procedure {
	t.Helper()
	p, known := standings.Procedures()[c.Rules]
	if !known {
		t.Fatalf("%s: there is no procedure %q", c.ID, c.Rules)
	}
	for how, points := range c.Points {
		into, known := map[string]*int{
			"rw": &p.Points.RegulationWin, "otw": &p.Points.OvertimeWin, "sow": &p.Points.ShootOutWin,
			"otl": &p.Points.OvertimeLoss, "sol": &p.Points.ShootOutLoss, "tie": &p.Points.Draw, "rl": &p.Points.RegulationLoss,
		}[how]
		if !known {
			t.Fatalf("%s: points for %q", c.ID, how)
		}
		*into = points
	}
	return p
}

func TestChecks(t *testing.T) {
	right, all := map[string]int{}, map[string]int{}
	for _, c := range readChecks(t) {
		games, p := c.games(t), c.procedure(t)
		given := standings.Given{Seeding: c.Seeding, Minutes: c.Minutes, Carried: map[standings.Team]standings.Row{}}
		for team, figures := range c.Rows {
			given.Carried[standings.Team(team)] = row(figures)
		}
		whole, err := standings.Rank(c.Teams, games, p, given)
		if err != nil {
			t.Errorf("%s: %v", c.ID, err)
			continue
		}
		for _, placed := range whole.Places {
			c.compare(t, placed)
		}
		for _, wanted := range c.Tables {
			all[c.Kind]++
			table, err := standings.Rank(wanted.Teams, games, p, given)
			if err != nil {
				t.Errorf("%s: %v", c.ID, err)
				continue
			}
			good := sameOrder(table, wanted.Order, wanted.Equal)
			if !good {
				t.Errorf("%s, %s: the order is %v, equal %v, want %v, equal %v", c.ID, wanted.Name, table.Order(), table.Equal, wanted.Order, wanted.Equal)
			}
			for _, d := range wanted.Decided {
				if by := firstParted(table, d.Teams); by != d.By && !strings.HasPrefix(by, d.By+":") {
					good = false
					t.Errorf("%s, %s: %v were parted by %q, want %q", c.ID, wanted.Name, d.Teams, by, d.By)
				}
			}
			if good {
				right[c.Kind]++
			}
		}
	}
	sumRight, sum := 0, 0
	for _, kind := range slices.Sorted(maps.Keys(all)) {
		fmt.Printf("standings, %s: %d of %d tables\n", kind, right[kind], all[kind])
		sumRight, sum = sumRight+right[kind], sum+all[kind]
	}
	fmt.Printf("standings: %d of %d tables\n", sumRight, sum)
}

// compare holds a row against the published figures.
func (c check) compare(t *testing.T, placed standings.Placed) {
	t.Helper()
	r := placed.Row
	has := map[string]int{
		"gp": r.Played, "w": r.Wins(), "l": r.Losses(), "t": r.Draws, "pts": r.Points, "gf": r.GoalsFor, "ga": r.GoalsAgainst,
		"gd": r.Difference(), "rw": r.RegulationWins, "otw": r.OvertimeWins, "sow": r.ShootOutWins, "rl": r.RegulationLosses,
		"otl": r.OvertimeLosses, "sol": r.ShootOutLosses,
	}
	for name, want := range c.Given[string(placed.Team)] {
		if name == "ratio" {
			all := r.GoalsFor + r.GoalsAgainst
			if got := fmt.Sprintf("0.%03d", (2000*r.GoalsFor+all)/(2*all)); got != want {
				t.Errorf("%s: %s has a ratio of %s, want %s", c.ID, placed.Team, got, want)
			}
			continue
		}
		if got, known := has[name]; !known || float64(got) != want {
			t.Errorf("%s: %s has %s %d, want %v", c.ID, placed.Team, name, got, want)
		}
	}
}

// sameOrder allows equal teams in any order, and no others.
func sameOrder(table standings.Table, order []standings.Team, equal [][]standings.Team) bool {
	sorted := func(groups [][]standings.Team) (list []string) {
		for _, group := range groups {
			list = append(list, fmt.Sprint(slices.Sorted(slices.Values(group))))
		}
		slices.Sort(list)
		return list
	}
	if !slices.Equal(sorted(table.Equal), sorted(equal)) {
		return false
	}
	normal := func(order []standings.Team) []standings.Team {
		order = slices.Clone(order)
		for _, group := range equal {
			var at []int
			for i, team := range order {
				if slices.Contains(group, team) {
					at = append(at, i)
				}
			}
			for i, team := range slices.Sorted(slices.Values(group)) {
				order[at[i]] = team
			}
		}
		return order
	}
	return slices.Equal(normal(table.Order()), normal(order))
}

// firstParted is the step that parted just this set of teams.
func firstParted(table standings.Table, teams []standings.Team) string {
	want := slices.Sorted(slices.Values(teams))
	for _, d := range table.Decided {
		if slices.Equal(slices.Sorted(slices.Values(d.Teams())), want) {
			return d.Step.String()
		}
	}
	return ""
}
