package main

import (
	"fmt"
	"strings"

	"whistlestop/internal/paper"
)

// Downloads writes what the report's page offers as files, from the list of
// formats, as a constant for the screens.
func Downloads() []byte {
	var text strings.Builder
	text.WriteString("// Made from the list of formats by tools/contract; do not edit. Run \"make contract\".\n\n" +
		"/** The files of a report that people take along, in order, with the keys of their names. */\n" +
		"export const downloads = [\n")
	for _, format := range paper.Formats {
		for _, one := range format.Downloads {
			file := "report." + format.Name
			if one.Query != "" {
				file += "?" + one.Query
			}
			fmt.Fprintf(&text, "  { file: '%s', words: '%s' },\n", file, one.Words)
		}
	}
	text.WriteString("] as const\n")
	return []byte(text.String())
}
