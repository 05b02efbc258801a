// Package report makes the official record of a game as neutral documents,
// before any format: totals by side, period and player.
//
//	state, err := rules.Fold(ledger)
//	totals := report.Count(state)
//	fmt.Println(totals.Sides[0].PowerPlays.Goals)
package report
