package figures_test

import (
	"cmp"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"whistlestop/season/figures"
)

// Printed definitions and odd cases of real seasons, each with its source in
// testdata/checks-season/statistics/definitions.json. Whether a goal is a power-play
// goal is the game's own matter (game/rules), and who touched the puck the referee's.
func definitions(t *testing.T, s score) {
	raw, err := os.ReadFile(filepath.Join(folder(), "statistics", "definitions.json"))
	if err != nil {
		t.Skip(err)
	}
	var cases []struct {
		ID, Kind, Figure string
		Given            map[string]any
		Expect           map[string]any
	}
	if err := json.Unmarshal(raw, &cases); err != nil {
		t.Fatal(err)
	}
	for _, c := range cases {
		good := true
		fail := func(format string, arguments ...any) {
			good = false
			t.Errorf(format, arguments...)
		}
		n := func(from map[string]any, name string) int {
			value, _ := from[name].(float64)
			return int(value)
		}
		switch c.Figure {
		case "game_winning_goal":
			g, sides := winner(c.Given)
			for name, want := range wanted(c.Expect) {
				i, found := g.Winning()
				if name == "by_lead_never_lost" {
					i, found = g.LeadKept()
				}
				number := 0
				for _, goal := range g.Goals[:i+1] {
					if goal.Side == g.Winner {
						number++
					}
				}
				if !found || sides[g.Winner] != want["team"] || float64(number) != want["goal_number_of_team"] {
					fail("%s: %s: goal %d of %s, want %v", c.ID, name, number, sides[g.Winner], want)
				}
			}
		case "gaa":
			line := figures.KeeperLine{Against: n(c.Given, "goals"), Seconds: n(c.Given, "seconds")}
			if got, _ := line.Average(60); got != n(c.Expect, "gaa_thousandths") {
				fail("%s: %d", c.ID, got)
			}
		case "penalty_kill":
			if got, _ := figures.KillShare(n(c.Given, "times_shorthanded"), n(c.Given, "power_play_goals_against")); got != n(c.Expect, "thousandths") {
				fail("%s: %d", c.ID, got)
			}
		case "shutout", "goalkeeper_decision":
			g := keepers(c.Given)
			shut := map[string]int{}
			if who, ok := g.Shutout(figures.Home); ok {
				shut[string(who)] = 1
			}
			if expect, given := c.Expect["shutouts"].(map[string]any); given {
				for who := range expect {
					if shut[who] != n(expect, who) {
						fail("%s: %s has %d shutouts", c.ID, who, shut[who])
					}
				}
			}
			words := map[figures.Result]string{figures.Win: "win", figures.LateLoss: "overtime or shoot-out loss", figures.Loss: "loss"}
			who, result := g.Decision(figures.Home)
			if expect, given := c.Expect["decision"].(map[string]any); given {
				for name, want := range expect {
					got := "none"
					if name == string(who) {
						got = words[result]
					}
					if got != want {
						fail("%s: %s has %s, want %s", c.ID, name, got, want)
					}
				}
			}
		default:
			t.Logf("%s is the game's own matter or the referee's, not a season's", c.ID)
			continue
		}
		right := 0
		if good {
			right = 1
		}
		s.add(cmp.Or(c.Kind, "published"), right, 1)
	}
}

func wanted(expect map[string]any) map[string]map[string]any {
	if _, plain := expect["team"]; plain {
		return map[string]map[string]any{"": expect}
	}
	list := map[string]map[string]any{}
	for name, one := range expect {
		list[name] = one.(map[string]any)
	}
	return list
}

// winner makes a game of a final score, and of the order of the goals where it is given.
func winner(given map[string]any) (figures.Game, map[figures.Side]string) {
	final := given["final"].(map[string]any)
	sides := map[figures.Side]string{figures.Home: "A", figures.Visitors: "B"}
	g := figures.Game{Decided: figures.InRegulation}
	if final["B"].(float64) > final["A"].(float64) {
		g.Winner = figures.Visitors
	}
	add := func(team string) {
		side := figures.Home
		if team == "B" {
			side = figures.Visitors
		}
		g.Goals = append(g.Goals, figures.Goal{Side: side, At: figures.At{Period: 1, Second: len(g.Goals) + 1}})
	}
	if order, known := given["goals"].([]any); known {
		for _, team := range order {
			add(team.(string))
		}
		return g, sides
	}
	for _, team := range []string{"A", "B"} {
		for range int(final[team].(float64)) {
			add(team)
		}
	}
	return g, sides
}

// keepers makes the game of a goalkeepers' case, whose team is at home.
func keepers(given map[string]any) figures.Game {
	g := figures.Game{Decided: figures.InRegulation, Winner: figures.Home}
	if given["shootout_winner"] != nil {
		g.Decided, g.Winner = figures.InShootOut, figures.Visitors
	}
	goal := func(side figures.Side, empty bool) {
		g.Goals = append(g.Goals, figures.Goal{Side: side, EmptyNet: empty, At: figures.At{Period: 1, Second: 100 * (len(g.Goals) + 1)}})
	}
	if final, known := given["final"].(map[string]any); known {
		for range int(final["A"].(float64)) {
			goal(figures.Home, false)
		}
		for range int(final["B"].(float64)) {
			goal(figures.Visitors, given["goals_against_goalkeeper"] == 0.0)
		}
	} else if g.Decided != figures.InShootOut {
		goal(figures.Home, false)
	}
	if who, alone := given["goalkeeper"].(string); alone {
		g.Keepers = []figures.Keeper{{Side: figures.Home, Who: figures.Person(who), Seconds: 3600}}
		return g
	}
	for i, one := range given["goalkeepers"].([]any) {
		k := one.(map[string]any)
		who := figures.Person(k["who"].(string))
		g.Keepers = append(g.Keepers, figures.Keeper{Side: figures.Home, Who: who, Seconds: 60})
		from := figures.At{Period: 1 + i}
		if slices.Contains([]any{true}, k["in_net_at_winning_goal"]) {
			from = figures.At{Period: 1}
		}
		g.Nets = append(g.Nets, figures.Net{Side: figures.Home, Who: who, From: from})
	}
	return g
}
