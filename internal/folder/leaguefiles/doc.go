// Package leaguefiles keeps the season of a bench as files in a folder beside the
// games: the league file as people write it, the schedule, and what the league decided
// beside the sealed games. All may be read, copied and changed by hand or by the season commands while the bench runs.
//
//	kept := leaguefiles.New(filepath.Join(data, "league"))
//	text, err := kept.League()
package leaguefiles
