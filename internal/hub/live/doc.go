// Package live is the games of a hub as followers see them: each ledger folded once
// for everybody, the public view of its state without names, written once for
// everybody, and for each follower no more than the number of the state that it has.
// Whoever reads slowly misses states in between and never holds up anybody.
//
//	games := live.New(live.Config{Store: store, Association: "harbour", Now: office.Now, Logger: logger})
//	games.Moved(game) // lines came in
//	follower, err := games.Follow(ctx, game)
//	for range follower.News() {
//		frame, err := follower.Next()
//	}
//
// A game in which two benches went on from one entry is shown up to the last entry
// that both have.
package live
