// Package paper has the one list of the formats in which a report is written:
// their names, their media types and what writes them. The commands, the API and
// its description read it. Cards are printed beside.
//
//	format, known := paper.ByName("pdf")
//	err := format.Write(file, ledger, paper.Options{Paper: "a4"})
package paper
