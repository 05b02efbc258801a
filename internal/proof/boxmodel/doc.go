// Package boxmodel is a second implementation of the penalty box, to hold the fold
// against. It is slow and obvious: it plays a game second by second and does at
// each second what the books' words say, and it shares no code with package rules.
// Only tests use it.
//
//	played := boxmodel.Game{Code: code, Lengths: lengths, Periods: periods, Whistles: whistles}.Play()
//	if played.Compared { ... played.Skaters[second] ... }
package boxmodel
