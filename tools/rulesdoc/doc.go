// Rulesdoc makes the parts of docs/rules.md that the program can say itself:
// what it answers to each call and goal of a situation, a drawing of the lanes,
// and tables of what the books say; and the tables of docs/rules-proof.md. The page holds each situation as a game told
// in short lines; what follows from it is made, so that it cannot go stale.
//
//	go run ./rulesdoc -root ..          # make them again
//	go run ./rulesdoc -root .. -check   # fail when a committed one differs
package main
