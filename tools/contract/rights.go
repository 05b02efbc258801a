package main

import (
	"fmt"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/internal/bench"
)

// Rights writes which seats may enter, change and take back which kinds, as a
// constant for the screens: what a seat may not do is not offered to it.
func Rights() []byte {
	var text strings.Builder
	text.WriteString("// Made from the rights of the bench by tools/contract; do not edit. Run \"make contract\".\n\n" +
		"import type { Kind, Seat } from './contract'\n\n" +
		"/** The seats that may enter, change and take back a kind of entry, beside the bench itself. */\n" +
		"export const seatsOf: Record<Kind, Seat[]> = {\n")
	for _, kind := range entry.Kinds {
		names := make([]string, 0, len(entry.Kinds))
		for _, seat := range bench.Seats(kind) {
			names = append(names, "'"+string(seat)+"'")
		}
		fmt.Fprintf(&text, "  %s: [%s],\n", kind, strings.Join(names, ", "))
	}
	text.WriteString("}\n")
	return []byte(text.String())
}
