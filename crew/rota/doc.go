// Package rota decides who sits where: people on the seats of games, fairly over
// the families of a season and within every hard rule. It works in three steps.
// A minimum-cost flow is exact where nested caps and convex costs are all there
// is. Bans then take the flow out of what it cannot say (two duties that clash, a
// family that needs one adult free, a learner without a guide), one duty at a time
// by the cheapest way round. Seeded legal moves polish the end; where there are many
// moves for each seat there are several such searches, and what they do not agree on is
// made anew by flow and proof. The flow's cost is a bound that no rota can be below: how
// good a rota is, is known.
//
//	rota, err := rota.Make(problem, rota.Options{Seed: 1, Moves: 2_000_000})
//	faults := rota.Check(problem, rota.Who) // by another way round; none
package rota
