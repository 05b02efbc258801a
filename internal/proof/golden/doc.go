// Package golden holds what a test made to what was looked at once: a file under
// testdata, or the made part of a page under docs. With -update it writes them.
//
//	golden.File(t, "whole-game.json", text)
//	golden.Part(t, "audit.md", "kinds", table)
package golden
