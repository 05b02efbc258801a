// Package dice gives seeded numbers that look like chance: the same for the same
// seed on every machine and in every version of the program, which the standard
// library's do not promise.
//
//	d := dice.Dice(seed)
//	first := d.Below(6)
package dice
