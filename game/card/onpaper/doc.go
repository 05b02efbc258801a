// Package onpaper finds out how a rink card stands on paper: in which size its steps can be
// read, how large the picture of the console may be beside them, and on how many pages. It
// measures and places; what draws the pages is handed the places, and whoever only wants to
// know whether a card fits (a form, while somebody types) draws nothing.
//
//	plan := onpaper.Make(c, onpaper.A4, words, onpaper.Width)
//	if plan.Crowded() { say(plan.Over) }
package onpaper
