// Package letters knows which letters the faces of a PDF have, and in which files of a
// browser's site those lie that its program is built without.
//
//	for _, name := range letters.Files("Ольга Жук") { ... }
package letters
