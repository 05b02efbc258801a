package standings_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"whistlestop/season/standings"
)

// everyPlace plays every ending of the games to come, with goals of its own, and
// ranks each time anew: the best and worst place of each team.
func everyPlace(t *testing.T, teams []standings.Team, games []standings.Game, open []standings.Open, p standings.Procedure, given standings.Given, noDraws bool) map[standings.Team][2]int {
	t.Helper()
	out := map[standings.Team][2]int{}
	for _, team := range teams {
		out[team] = [2]int{len(teams), 1}
	}
	var play func(i int, all []standings.Game)
	play = func(i int, all []standings.Game) {
		if i == len(open) {
			table, err := standings.Rank(teams, all, p, given)
			if err != nil {
				t.Fatal(err)
			}
			at := 0
			for _, tier := range tiers(table) {
				for _, team := range tier {
					out[team] = [2]int{min(out[team][0], at+1), max(out[team][1], at+len(tier))}
				}
				at += len(tier)
			}
			return
		}
		g := standings.Game{ID: open[i].ID, Home: open[i].Home, Away: open[i].Away}
		for _, e := range []struct {
			how        standings.How
			home, away int
		}{
			{"reg", 1, 0}, {"reg", 0, 1}, {"reg", 40, 0}, {"reg", 0, 40}, {"reg", 41, 40}, {"reg", 40, 41}, {"reg", 1, 1}, {"reg", 40, 40}, {"reg", 0, 0},
			{"ot", 1, 0}, {"ot", 0, 1}, {"ot", 41, 40}, {"ot", 40, 41}, {"so", 1, 0}, {"so", 0, 1}, {"so", 41, 40}, {"so", 40, 41}, {"reg", 3, 1}, {"reg", 1, 3},
		} {
			if noDraws && e.home == e.away {
				continue
			}
			g.How, g.HomeGoals, g.AwayGoals = e.how, e.home, e.away
			play(i+1, append(slices.Clone(all), g))
		}
	}
	play(0, games)
	return out
}

// What Chances says is exact is so, by trying everything; what it has found can be;
// and it seldom leaves anything open.
func TestChancesAgreeWithTryingEverything(t *testing.T) {
	names := []string{"iihf", "nhl-2019", "usah-nationals", "ontario-rr", "sweden-series", "germany-unfinished", "bc-junior", "hockey-east-2008"}
	all, exact := 0, 0
	for i := range tries(t, 1200) {
		random := rand.New(rand.NewPCG(uint64(i), 11))
		teams := []standings.Team{"A", "B", "C", "D", "E"}[:3+random.IntN(3)]
		p := standings.Procedures()[names[i%len(names)]]
		var games []standings.Game
		var open []standings.Open
		for a, home := range teams {
			for _, away := range teams[a+1:] {
				if len(open) < 1+i%2 && random.IntN(3) == 0 {
					open = append(open, standings.Open{ID: fmt.Sprint(home, away), Home: home, Away: away})
					continue
				}
				g := standings.Game{ID: fmt.Sprint(home, away), Home: home, Away: away, How: "reg", HomeGoals: random.IntN(4), AwayGoals: random.IntN(4)}
				games = append(games, g)
			}
		}
		given := standings.Given{Minutes: map[standings.Team]int{}, Carried: map[standings.Team]standings.Row{}}
		if random.IntN(4) == 0 {
			given.Carried["A"] = standings.Row{Points: -2}
		}
		noDraws := i%3 == 0 // a league in which every game has a winner
		want := everyPlace(t, teams, games, open, p, given, noDraws)
		// With few moves nothing is tried one by one: what is proven otherwise has to hold too.
		for _, moves := range []int{0, 20} {
			got, err := standings.Chances(teams, games, open, p, given, standings.Outlook{NoDraws: noDraws, Moves: moves})
			if err != nil {
				t.Fatal(err)
			}
			for _, c := range got {
				w := want[c.Team]
				wrong := c.BestExact && c.Best != w[0] || c.WorstExact && c.Worst != w[1] || c.Best < w[0] || c.Worst > w[1]
				if wrong {
					t.Fatalf("seed %d, %s, %d moves: %+v, but trying everything %v\n%v\nopen %v", i, names[i%len(names)], moves, c, w, games, open)
				}
				if moves == 0 {
					all += 2
					for _, is := range []bool{c.BestExact, c.WorstExact} {
						if is {
							exact++
						}
					}
				}
			}
		}
	}
	t.Logf("exact: %d of %d", exact, all)
	if exact*100 < all*85 {
		t.Errorf("only %d of %d places are exact", exact, all)
	}
}

// Two of four are through before the last day: the third cannot come past even if it wins.
func TestWhoCannotBeCaught(t *testing.T) {
	p := standings.Procedures()["iihf"]
	var games []standings.Game
	for _, text := range []string{"A-B 3-0", "A-C 2-0", "B-C 1-0", "B-D 4-0", "A-D 5-0"} {
		games = append(games, game(t, text))
	}
	chances, err := standings.Chances([]standings.Team{"A", "B", "C", "D"}, games, []standings.Open{{ID: "x", Home: "C", Away: "D"}}, p, standings.Given{}, standings.Outlook{})
	if err != nil {
		t.Fatal(err)
	}
	want := []standings.Chance{
		{Team: "A", Best: 1, Worst: 1, BestExact: true, WorstExact: true}, {Team: "B", Best: 2, Worst: 2, BestExact: true, WorstExact: true},
		{Team: "C", Best: 3, Worst: 4, BestExact: true, WorstExact: true}, {Team: "D", Best: 3, Worst: 4, BestExact: true, WorstExact: true},
	}
	if !slices.Equal(chances, want) {
		t.Errorf("%+v", chances)
	}
}

// A season that has just begun: everybody can still come anywhere, and that is proven.
func TestChancesOfASeasonThatBegins(t *testing.T) {
	var teams []standings.Team
	for i := range 8 {
		teams = append(teams, standings.Team(fmt.Sprint("T", i)))
	}
	var open []standings.Open
	for a := range teams {
		for b := range teams {
			if a != b {
				open = append(open, standings.Open{ID: fmt.Sprint(a, "-", b), Home: teams[a], Away: teams[b]})
			}
		}
	}
	for _, name := range []string{"iihf", "nhl-2019", "ontario-rr"} {
		chances, err := standings.Chances(teams, nil, open, standings.Procedures()[name], standings.Given{}, standings.Outlook{})
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range chances {
			if want := (standings.Chance{Team: c.Team, Best: 1, Worst: 8, BestExact: true, WorstExact: true}); c != want {
				t.Errorf("%s: %+v", name, c)
			}
		}
	}
}
