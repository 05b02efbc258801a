// Package standings ranks the teams of a season from its games: points, the
// ladder of steps that parts equal teams, and for every tie which step parted
// it and with what. All values are whole numbers or exact fractions, so a
// ranking never depends on rounding, on the order of the games, or on names.
//
//	table, err := standings.Rank(teams, games, standings.Procedures()["iihf"], standings.Given{})
//	for _, placed := range table.Places { show(placed.Place, placed.Team, placed.Row.Points) }
//	for _, decision := range table.Decided { explain(standings.Explain(decision, nameOf)) }
package standings
