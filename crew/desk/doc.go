// Package desk is what a coordinator works with: the league's games, the rules, the
// people, the rota and the log of its duties, put together. Every question about them
// is answered here once, as values; what is shown of them, on a page or on paper, is
// made of these.
//
//	plan, err := desk.Given{League: l, Games: games, Rules: rules, People: list, To: desk.Always}.Plan()
//	made, err := desk.Make(plan, nil, rota.Options{Seed: 1, Moves: 100_000})
//	d := desk.Open(l, plan, plan.Duties(made.Who, made.Accepted), log, now)
//	for _, m := range d.Due() { // who is to hear what now
//		...
//	}
package desk
