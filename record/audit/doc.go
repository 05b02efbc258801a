// Package audit says what does not add up in the record of a game: it plays the
// goals and calls of a sheet by the rules of its division, and holds everything
// else that the sheet claims against what follows. A report of ours is such a
// sheet (SheetOf), and so is a table that somebody typed from paper.
//
//	findings, err := audit.Check(audit.SheetOf(document))
//	fmt.Println(findings[0].Kind, findings[0].Where.Row)
package audit
