package main

import (
	"fmt"
	"strings"
)

// The marks of the page. A situation is a fenced block that begins with
// gameFence and a name; a table is asked for by a line that begins with
// tableMark. What follows either, up to madeEnd, is made.
const (
	gameFence   = "```game "
	fence       = "```"
	tableMark   = "<!-- table "
	memoryTable = "memory"
	madeBegin   = "<!-- made by tools/rulesdoc; do not edit -->"
	madeEnd     = "<!-- end -->"
)

// Make returns the page with everything made anew, and its drawings by name.
func Make(page string) (string, map[string][]byte, error) {
	pictures := map[string][]byte{}
	var out strings.Builder
	lines := strings.SplitAfter(page, "\n")
	for i := 0; i < len(lines); i++ {
		line := strings.TrimRight(lines[i], "\n")
		out.WriteString(lines[i])
		var made string
		switch {
		case strings.HasPrefix(line, gameFence):
			name := strings.TrimSpace(strings.TrimPrefix(line, gameFence))
			begin := i + 1
			for i++; i < len(lines) && strings.TrimRight(lines[i], "\n") != fence; i++ {
				out.WriteString(lines[i])
			}
			if i == len(lines) {
				return "", nil, fmt.Errorf("line %d: the block of %s is not closed", begin, name)
			}
			out.WriteString(lines[i])
			told, err := Tell(name, lines[begin:i])
			if err != nil {
				return "", nil, fmt.Errorf("line %d: %s: %w", begin, name, err)
			}
			for file, picture := range told.Pictures {
				if pictures[file] != nil {
					return "", nil, fmt.Errorf("line %d: there are two games %s", begin, name)
				}
				pictures[file] = picture
			}
			made = told.Text
		case strings.HasPrefix(line, tableMark):
			wanted := strings.Fields(strings.TrimSuffix(strings.TrimPrefix(line, tableMark), "-->"))
			table, err := Table(wanted)
			if len(wanted) == 1 && wanted[0] == memoryTable {
				table, err = Memory(), nil
			}
			if err != nil {
				return "", nil, fmt.Errorf("line %d: %w", i+1, err)
			}
			made = table
		default:
			continue
		}
		out.WriteString(madeBegin + "\n" + made + "\n" + madeEnd + "\n")
		if i+1 < len(lines) && strings.TrimRight(lines[i+1], "\n") == madeBegin {
			begin := i + 2
			for i++; i < len(lines) && strings.TrimRight(lines[i], "\n") != madeEnd; i++ {
			}
			if i == len(lines) {
				return "", nil, fmt.Errorf("line %d: what was made here has no end: write %s after it", begin, madeEnd)
			}
		}
	}
	return out.String(), pictures, nil
}
