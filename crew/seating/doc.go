// Package seating says who may sit where, and why not: a league's own rules for each
// seat, held against people and games. It makes of them the problem that a rota
// solves, and keeps the reason for each pair that is left out.
//
//	plan, err := seating.Build(rules, people, games)
//	r, err := rota.Make(plan.Problem, rota.Options{Seed: 1, Moves: 100_000})
//	why := plan.Why(slot, person)
package seating
