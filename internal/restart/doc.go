// Package restart finds out what can be known of the time in which the program
// was not running. It keeps a small file with the newest instant, and beside it,
// where the system has them, a clock that counts through sleep and cannot be set,
// and the id of this start of the computer. At the next start the two tell by how
// much the time of day was set; where nothing tells, a running clock is doubted.
//
//	keeper, found := restart.Open(privatefile.At("/var/games/instant.json"), restart.Read)
//	if found.Doubt {
//		// ask people what the game clock shows
//	}
//	err := keeper.Write(now, found.OwnAt(now), nil, false)
package restart
