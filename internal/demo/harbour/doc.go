// Package harbour is the invented Harbour League some weeks into its season, for whoever
// tries the crew's desk: league, schedule, people, rules, a rota and what was said of it.
//
//	season, err := harbour.Desk(today, key)
//	files.KeepLeague(season.League)
package harbour
