// Package csv writes the facts of a report as a CSV file (RFC 4180) that a
// spreadsheet opens without asking, and reads such a file back.
//
//	err := csv.Write(file, facts.Of(document))
package csv
