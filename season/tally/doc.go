// Package tally adds a season up: from a league file, its schedule, the league's
// decisions and the reports of games to results, tables with their reasons,
// suspensions and figures. It goes on: one game put in, changed or taken out costs
// that game, the people in it and the ranking, not the season. Two values of a
// season can be held against each other: what changed for people is listed.
//
//	t, err := tally.New(league, games, decisions)
//	for _, document := range reports { t.Put(results.FactsOf(document)) }
//	season := t.Season()
//	for _, change := range tally.Changes(before, season) { tell(change.Say) }
package tally
