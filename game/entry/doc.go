// Package entry holds the words of Whistlestop: the nouns and units of an ice
// hockey game and the closed set of entries that a ledger is made of.
//
// A game is an ordered ledger of entries: what people did or what the referee
// signalled. Nothing else is stored as truth. This package knows how an entry
// is written (CloudEvents 1.0, one JSON object a line), how one entry is
// chained to the one before it, and which values are impossible whatever the
// rules say (a negative clock, a third assist, a side that does not exist).
// What an entry means is worked out by package rules.
//
//	goal := entry.Entry{
//		ID:   "01JD0000000000000000000001",
//		Game: "01JD0000000000000000000000",
//		At:   entry.At{Period: 2, Elapsed: entry.Clock(4, 5)},
//		Body: entry.Goal{Side: entry.Home, Scorer: "12"},
//	}
//	line, err := goal.MarshalJSON()
package entry
