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
	m := making{lines: strings.SplitAfter(page, "\n"), pictures: map[string][]byte{}}
	for ; m.at < len(m.lines); m.at++ {
		line := m.line()
		m.out.WriteString(m.lines[m.at])
		var made string
		var err error
		switch {
		case strings.HasPrefix(line, gameFence):
			made, err = m.game(strings.TrimSpace(strings.TrimPrefix(line, gameFence)))
		case strings.HasPrefix(line, tableMark):
			made, err = m.table(strings.Fields(strings.TrimSuffix(strings.TrimPrefix(line, tableMark), "-->")))
		default:
			continue
		}
		if err != nil {
			return "", nil, err
		}
		m.out.WriteString(madeBegin + "\n" + made + "\n" + madeEnd + "\n")
		if err := m.passMade(); err != nil {
			return "", nil, err
		}
	}
	return m.out.String(), m.pictures, nil
}

// making is a page half made: `at` is the line that is read.
type making struct {
	lines    []string
	at       int
	out      strings.Builder
	pictures map[string][]byte
}

func (m *making) line() string { return strings.TrimRight(m.lines[m.at], "\n") }

// game copies the block of a game, and tells it.
func (m *making) game(name string) (string, error) {
	begin := m.at + 1
	for m.at++; m.at < len(m.lines) && m.line() != fence; m.at++ {
		m.out.WriteString(m.lines[m.at])
	}
	if m.at == len(m.lines) {
		return "", fmt.Errorf("line %d: the block of %s is not closed", begin, name)
	}
	m.out.WriteString(m.lines[m.at])
	told, err := Tell(name, m.lines[begin:m.at])
	if err != nil {
		return "", fmt.Errorf("line %d: %s: %w", begin, name, err)
	}
	for file, picture := range told.Pictures {
		if m.pictures[file] != nil {
			return "", fmt.Errorf("line %d: there are two games %s", begin, name)
		}
		m.pictures[file] = picture
	}
	return told.Text, nil
}

func (m *making) table(wanted []string) (string, error) {
	if len(wanted) == 1 && wanted[0] == memoryTable {
		return Memory(), nil
	}
	table, err := Table(wanted)
	if err != nil {
		return "", fmt.Errorf("line %d: %w", m.at+1, err)
	}
	return table, nil
}

// passMade leaves out what was made here before.
func (m *making) passMade() error {
	if m.at+1 >= len(m.lines) || strings.TrimRight(m.lines[m.at+1], "\n") != madeBegin {
		return nil
	}
	begin := m.at + 2
	for m.at++; m.at < len(m.lines) && m.line() != madeEnd; m.at++ {
	}
	if m.at == len(m.lines) {
		return fmt.Errorf("line %d: what was made here has no end: write %s after it", begin, madeEnd)
	}
	return nil
}
