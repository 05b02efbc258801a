// Package figures adds up players and goalkeepers over a season: goals, assists,
// plus and minus, game-winning goals, decisions, shutouts. Everything is a whole
// number worked out from the games; a share is made where it is shown. A season
// folded game by game equals one folded at once.
//
//	season := figures.New()
//	for _, game := range games { season.Add(game) }
//	for _, line := range season.Skaters() { show(line.Who, line.Goals, line.Points()) }
package figures
