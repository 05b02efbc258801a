// Package typed reads a simple table of goals and penalties, typed from a paper
// score sheet as CSV (RFC 4180), into a audit.Sheet that can be audited. It is
// forgiving about the order and the spelling of the headings, about the byte
// order mark, semicolons and quotes, and refuses what it does not understand by
// row and column. docs/audit.md describes the form.
//
//	read, err := typed.Read(text, typed.Options{Division: division})
//	findings, err := audit.Check(read)
package typed
