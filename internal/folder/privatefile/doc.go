// Package privatefile keeps small files that nobody else on this machine reads:
// who sits at the bench, the key of the local certificate. A file is replaced as
// a whole, and Write returns when the new one would survive a power cut.
//
//	kept := privatefile.At("/var/games/seats.json")
//	err := kept.Write([]byte("[]"))
//	text, err := kept.Read() // nil if there is no such file
package privatefile
