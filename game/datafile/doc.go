// Package datafile reads the files that people write for Whistlestop: divisions,
// codes, rink cards. They are TOML, read strictly; whatever is wrong is said
// with the file, the line, the reason and what to do.
//
//	err := datafile.Decode(text, "saltworks.toml", &card)
package datafile
