// Package card is the work beside a rink's own board. A rink card is a
// coordinator's own file: what to do on that rink's console at each happening,
// in the coordinator's own words, with gaps for what changes.
//
//	c, err := card.Parse(file, "saltworks.toml")
//	reading := card.Should(state, c, now)        // what the board should read
//	view, err := card.Look(ledger, state, now)   // the steps that are left, and the reading
//
// A card can also say the keys of each step and lay them out; then a step comes with
// what is pressed (Step.Keys). A Form is a card that somebody fills in, with all its
// faults, each beside its field, and the card as a file (Write).
//
// Steps are not stored. The package follows what the board shows by the steps
// that were ticked, and compares it with what it should show; the difference is
// what is left to do. So an amendment or a strike needs nothing of its own: it
// changes what the board should show, and the steps that put it right appear.
package card
