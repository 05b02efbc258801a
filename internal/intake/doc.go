// Package intake reads what others made: a schedule as a table of a spreadsheet, as
// text with commas or semicolons, or as a calendar, of which what cannot be read is
// named by its line and left out; and the record of a game in any form, to be audited.
//
//	read, err := intake.Schedule("theirs.csv", text, l)
//	games, more := schedule.Update(l, before, read.Rows, "from theirs.csv", nil)
//	record, err := intake.ReadRecord("sheet.csv", text, intake.Holding{Division: "harbour-u14", Find: find})
//	findings, err := audit.Check(record.Sheet)
package intake
