// Package tables is a document of tables, as paper, workbooks and pages show it:
// parts with tables, their rows with numbers that stay numbers, and sentences under
// them. Its titles are keys; whoever writes it has the words. It is pure.
//
//	flat := document.Flat("standings")
//	for _, row := range flat.Rows { write(row[0].In(words), row[3].Number) }
package tables
