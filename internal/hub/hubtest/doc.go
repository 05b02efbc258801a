// Package hubtest is the one suite that every store of a hub passes: ledgers with
// gaps, forks and handed-over games, tokens, the log, and each question with the wrong
// association.
//
//	func TestSuite(t *testing.T) {
//		hubtest.Run(t, func(t *testing.T) hubtest.Store { return open(t, t.TempDir()) })
//	}
package hubtest
