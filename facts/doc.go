// Package facts writes a report as rows of plain text, one fact a row, for
// spreadsheets and other programs, and reads such rows back. It is pure; files
// are written elsewhere.
//
//	rows := facts.Of(document)
//	fmt.Println(rows[0].Get(facts.Record)) // head
package facts
