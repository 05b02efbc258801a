// Package order is what a bench has printed by somebody else, as text: a bench in a
// browser cannot print itself, and a thread of its own does (internal/press).
//
//	text, err := order.OfCard(c, "a4").Text()
package order
