// Package intake reads what others made: a schedule as a table of a spreadsheet, as
// text with commas or semicolons, or as a calendar. What cannot be read is named by
// its line and left out.
//
//	read, err := intake.Schedule("theirs.csv", text, l)
//	games, more := schedule.Update(l, before, read.Rows, "from theirs.csv", nil)
package intake
