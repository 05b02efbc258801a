// Package progress is what practice came to over the weeks: results, what is due
// again, and who is ready for which seat.
//
//	r := progress.ResultOf(g, s, "Wren", entry.BoxSeat, today)
//	due, any := progress.NextDrill(results, "Wren", entry.BoxSeat, today)
//
// A result travels as a code of letters that can be read aloud.
package progress
