// Package pdf prints documents as PDF: the same bytes on every run, legible in
// black and white, tagged for those who hear them, with open-licence faces that
// are part of the program (their licences stand beside them in fonts).
//
//	err := pdf.Card(file, c, pdf.A4, locale.English())
package pdf
