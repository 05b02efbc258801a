// Package press prints what a bench in a browser orders. It runs in a thread of its own
// that ends when it has printed (cmd/press): a page gives memory back only with a thread
// that ends, and the bench's lasts all evening.
//
//	pdf, err := press.Print(order, words, face)
package press
