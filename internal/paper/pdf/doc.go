// Package pdf prints documents as PDF: the same bytes on every run, legible in
// black and white, with an open-licence face that is part of the program
// (fonts/OFL.txt).
//
//	err := pdf.Card(file, c, pdf.A4, locale.English())
package pdf
