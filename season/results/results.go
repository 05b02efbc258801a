package results

import (
	"slices"
	"strings"

	"whistlestop/record/report"
	"whistlestop/season/standings"
)

// Of is the result of a game for the table. It is false while the game was not
// ended: such a game does not count yet. A team is known by its name, without
// blanks around it, until a league gives it an id.
func Of(d report.Document) (standings.Game, bool) {
	g := standings.Game{
		ID: d.Game, Home: team(d.Teams[0]), Away: team(d.Teams[1]),
		HomeGoals: d.Score.Final[0], AwayGoals: d.Score.Final[1], How: standings.Regulation,
	}
	switch d.Score.Decided {
	case report.InOvertime:
		g.How = standings.Overtime
	case report.InShootOut:
		g.How = standings.ShootOut
	case report.InRegulation, report.Undecided:
	}
	if len(d.Goals) > 0 {
		g.First = g.Home
		if d.Goals[0].Side == d.Teams[1].Side {
			g.First = g.Away
		}
	}
	return g, d.Finished
}

func team(r report.Roster) standings.Team { return standings.Team(strings.TrimSpace(r.Name)) }

// Teams lists who plays in some games, in the order of their ids.
func Teams(games []standings.Game) []standings.Team {
	var teams []standings.Team
	for _, g := range games {
		teams = append(teams, g.Home, g.Away)
	}
	slices.Sort(teams)
	return slices.Compact(teams)
}
