// Package tables has the one list of the formats in which a table of texts is
// written: rows under titles, whatever they are about. The commands and the API read
// it; the formats of a game's report stand in package paper.
//
//	format, known := tables.ByName("csv")
//	err := format.Write(out, [][]string{{"Team", "Points"}, {"Kelp Bay", "12"}})
package tables
