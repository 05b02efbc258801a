package tally_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"whistlestop/season/league"
	"whistlestop/season/standings"
	"whistlestop/season/tally"
)

// Every number of a table is the sum over the games behind it, with what the league
// gave or took; and whoever was equal with a neighbour is told by which games.
func TestTheGamesBehindALine(t *testing.T) {
	ties := 0
	for seed := range 12 {
		random := rand.New(rand.NewPCG(uint64(seed), 11))
		l, games := body(t, 2, 5, 2, []string{"usah-nationals", "iihf", "ontario-rr"}[seed%3])
		d := league.Decisions{
			Forfeits: []league.Forfeit{{Game: games[3].ID, To: games[3].Home, Why: "nobody came"}},
			Results:  []league.Typed{{Game: games[5].ID, Home: 9, Visitors: 0, How: "reg", Why: "paper"}},
			Points:   []league.Points{{Team: "d0-t02", Points: -1, Why: "fine"}},
		}
		one := start(t, l, games, d)
		for _, g := range games {
			if random.IntN(4) > 0 {
				one.Put(report(random, l, g, 6))
			}
		}
		s := season(t, one)
		counted := map[string]bool{}
		for _, g := range s.Games {
			counted[g.ID] = g.Result != nil && g.Result.Counts
		}
		for _, division := range s.Divisions {
			for _, place := range division.Places {
				var sum standings.Row
				for _, c := range one.Line(place.Team) {
					sum = sum.Plus(c.Row)
				}
				got := fmt.Sprint(sum.Played, sum.Wins(), sum.Draws, sum.Losses(), sum.GoalsFor, sum.GoalsAgainst, sum.Points+place.Taken)
				if want := fmt.Sprint(place.Played, place.Won, place.Drawn, place.Lost, place.For, place.Against, place.Points); got != want {
					t.Errorf("seed %d, %s: the games say %s, the table %s", seed, place.Team, got, want)
				}
				ties += tiesFit(t, one, place.Team, counted)
			}
		}
	}
	if ties == 0 {
		t.Error("nobody was ever equal")
	}
	l, games := body(t, 1, 4, 1, "iihf")
	one := start(t, l, games, league.Decisions{})
	if one.Line("nobody") != nil || one.Ties("nobody") != nil {
		t.Error("a team that is not there has games")
	}
}

// tiesFit looks at the reasons of a team's place, and counts them.
func tiesFit(t *testing.T, one *tally.Tally, team string, counted map[string]bool) int {
	t.Helper()
	list := one.Ties(team)
	for _, tie := range list {
		if tie.Say.Key == "" || len(tie.Games) == 0 {
			t.Errorf("%s: %+v", team, tie)
		}
		if slices.ContainsFunc(tie.Games, func(id string) bool { return !counted[id] }) {
			t.Errorf("%s: a game that does not count parted it: %v", team, tie.Games)
		}
	}
	return len(list)
}
