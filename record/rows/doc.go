// Package rows writes a report as rows of plain text, one fact a row, for
// spreadsheets and other programs, and reads such lines back. It is pure; files
// are written elsewhere.
//
//	lines := rows.Of(document)
//	fmt.Println(lines[0].Get(rows.Record)) // head
package rows
