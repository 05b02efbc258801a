package rules

import "whistlestop/game/message"

// The fold speaks as every pure package does.
type (
	// Say is a sentence by its key.
	Say = message.Say
	// Args fill the gaps of a sentence.
	Args = message.Args
	// Arg fills one gap.
	Arg = message.Arg
)

// Pairs makes arguments of names and texts in turn.
func Pairs(pairs ...string) Args { return message.Pairs(pairs...) }
