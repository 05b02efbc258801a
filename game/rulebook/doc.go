// Package rulebook holds the codes (a rule body's penalty rules) and the
// divisions (lengths, overtime, time-outs of one age group) as data files, each
// value with its source.
//
// A code is fixed once published: a new edition of a book gets a new id, so
// that an old ledger folds as it did. A division is one readable TOML file that
// a coordinator can copy and change; the ledger of a game carries a full copy.
//
//	division, err := rulebook.ParseDivision(file, "under-14.toml")
//	code, ok := rulebook.CodeByID(division.Code)
package rulebook
