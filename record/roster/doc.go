// Package roster reads rosters as leagues send them, a sheet of cells or a pasted
// text, and checks them: what cannot be used and what somebody should look at,
// each with its row and column. It is pure; files are opened elsewhere.
//
//	sheet, err := roster.Paste(text)
//	findings := sheet.Check(division)
//	if roster.Usable(findings) { post(sheet.Team) }
package roster
