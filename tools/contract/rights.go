package main

import (
	"cmp"
	"fmt"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/internal/bench"
)

// Rights writes what the screens have to know of every kind of entry, from its row
// in game/entry: which seats may enter, change and take it back, because what a
// seat may not do is not offered to it; how the button that takes back treats it;
// whether it is quiet; and whether the bench's list offers to strike it.
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
	text.WriteString("}\n\n" +
		"/**\n * How the button that takes back treats a kind of entry: as an act, as a press on a clock, which counts\n" +
		" * for a minute, as a tap that is taken back where it was made, or not at all.\n */\n" +
		"export const undoOf: Record<Kind, 'act' | 'press' | 'there' | 'never'> = {\n")
	for _, kind := range entry.Kinds {
		fmt.Fprintf(&text, "  %s: '%s',\n", kind, cmp.Or(kind.About().Undo, "act"))
	}
	text.WriteString("}\n")
	list(&text, "Kinds that keep the book in order and say nothing of the game: people look for them rarely.", "quietKinds",
		func(row entry.Row) bool { return row.Quiet })
	list(&text, "Kinds that no tap on the bench's list of entries strikes.", "noStrikeKinds",
		func(row entry.Row) bool { return row.NoStrike })
	return []byte(text.String())
}

// list writes the kinds whose rows are so.
func list(text *strings.Builder, comment, name string, is func(entry.Row) bool) {
	fmt.Fprintf(text, "\n/** %s */\nexport const %s: readonly Kind[] = [\n", comment, name)
	for _, kind := range entry.Kinds {
		if is(*kind.About()) {
			fmt.Fprintf(text, "  '%s',\n", kind)
		}
	}
	text.WriteString("]\n")
}
