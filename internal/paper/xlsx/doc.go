// Package xlsx writes the facts of a report as a workbook with a sheet for each
// kind of record, and reads workbooks: those that it wrote, and the rosters that
// leagues send, within limits that are checked before anything is believed.
//
//	err := xlsx.Write(file, facts.Of(document), locale.English())
//	rows, err := xlsx.Rows(raw)
package xlsx
