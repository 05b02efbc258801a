// Package plot is what happens in a practice game, by the time of the game and
// nothing else: whistles, goals, calls, and the skills that it asks of a bench. A
// coordinator writes one by hand:
//
//	practice 1
//	id       short
//	title    A short one
//	division harbour-u14
//	home     Kelp Bay: 1g 4 5 7 9 12
//	visitors Lanternside: 30g 2 6 9 10
//
//	period 1
//	11:30 offside
//	11:00 penalty home 7 tripping minor
//
// Parse reads such a file and says which line is wrong; Text writes it.
package plot
