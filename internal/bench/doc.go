// Package bench is the live game. One goroutine owns each game: it takes posts
// one after another, fills in where the clock stood, asks package rules what
// follows, appends to the log and only then tells everybody who watches.
//
// Here the pure core ends. Bench knows no network and no database; what it
// needs of the world it declares as Log, Clock and IDs.
//
//	live := bench.New(ledgers, bench.SteadyClock(), bench.ULIDs(), slog.Default())
//	defer live.Close()
//	reply, err := live.Post(ctx, game, drafts)
//
// Time. The game clock is one anchor: a position at an instant. Starts and stops
// count from the instant at which somebody touched the screen, as the entry
// says, but never from before the anchor, never from the future, and never from
// more than LateMost ago; what is cut off is added to the entry's error bound.
// When a running clock reaches its length the bench itself posts the stop, at
// exactly the length, also when the program was dead at that moment.
package bench
