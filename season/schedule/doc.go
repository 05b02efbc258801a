// Package schedule makes who meets whom, and measures how good it is: round robins
// by the published tables, breaks (two games running at home, or away), carry-over,
// and travel. Teams are numbers from 0; a season gives them names, days and ice.
//
//	rounds, err := schedule.RoundRobin(8)
//	for _, round := range schedule.Twice(rounds) { place(round) }
package schedule
