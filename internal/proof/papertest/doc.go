// Package papertest has whole games of the invented league for the tests of what
// is written and printed: an ordinary one with everything that a book keeps, and
// a long and unkind one.
//
//	ledger := papertest.Game(t)
//	document := papertest.Report(t, ledger, "")
package papertest
