// Package leaguefiles keeps the season of a bench as files in a folder beside the
// games: the league file as people write it, the schedule, what the league decided
// beside the sealed games, and which games were handed in to it. All may be read, copied and changed by hand or by the season commands while the bench runs.
//
//	kept := leaguefiles.New(filepath.Join(data, "league"))
//	text, err := kept.League()
package leaguefiles
