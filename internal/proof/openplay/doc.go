// Package openplay reads open play-by-play of real games, given as anonymous
// facts, and turns a game into a ledger that the fold can play. Tests hold the
// engine and the totals against it.
//
//	games, err := openplay.Read(openplay.Folder())
//	ledger := games[0].Ledger()
//
// Source of the data: sportsdataverse/fastRhockey-pwhl-raw (MIT), a women's
// professional league, seasons 2023-24 and 2024-25.
package openplay
