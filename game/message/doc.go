// Package message is how the pure packages speak: a sentence is a key of the
// message catalogues with arguments, and an error is such a sentence with its
// cause. No package that knows a game knows a language; the shells put the words in.
//
//	return message.At(file, line, message.New("card.no_rink", "most", 60))
package message
