// Package console is a rink's console to practise on, made from its rink card and
// nothing else: what the keys do, what the display reads, what the board shows.
//
//	m := console.New(c, board)
//	answer := m.Press("tall dial")
//
// A Drill is a short piece of a game with the steps that the card has for it. Play
// follows somebody's presses through it and says of each whether it was right.
package console
