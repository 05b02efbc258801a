// Package results turns the official record of a game into what a season counts:
// who played, how it ended and was decided, and what the players and goalkeepers did.
//
//	game, finished := results.Of(document)
//	table, err := standings.Rank(results.Teams(games), games, procedure, standings.Given{})
package results
