// Package whole plays games for tests as a bench would: nothing is posted that
// the bench refuses or warns about.
//
//	b := whole.Open(t, "harbour-open", home, visitors)
//	ledger := whole.Game(t) // an invented game with everything that a report may have
package whole
