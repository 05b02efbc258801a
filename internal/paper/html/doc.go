// Package html writes a report as one page for parents: a file that needs nothing
// else and carries no script, with numbers instead of names unless names were
// asked for. Remarks, signatures and what is still missing stay out of it.
//
//	err := html.Shared(file, document, html.Options{Names: false}, locale.English())
package html
