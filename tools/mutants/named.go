package main

import (
	"bytes"
	"fmt"
	"os"
	"path"
	"path/filepath"
	"strings"
)

// readNamed reads the mutants that were written by hand, each a block of lines:
//
//	mutant  its name
//	why     what a person would see if it lived
//	in      the file
//	test    a package whose tests must notice, and which of them; the file's own
//	        package where nothing is said
//	- lines of the file, as they are
//	+ lines that come instead
//
// Indentation does not count. The lines have to be in the file exactly once, so a
// mutant whose place was rewritten is noticed and written anew.
func readNamed(root, list string) ([]mutant, error) {
	text, err := os.ReadFile(list)
	if err != nil {
		return nil, err
	}
	var all []mutant
	for block := range strings.SplitSeq(string(text), "\n\n") {
		m, err := readBlock(root, block)
		if err != nil {
			return nil, err
		}
		if m.Name != "" {
			all = append(all, m)
		}
	}
	return all, nil
}

func readBlock(root, block string) (mutant, error) {
	var m mutant
	var was, now []string
	for line := range strings.Lines(block) {
		word, rest, _ := strings.Cut(strings.TrimSpace(line), " ")
		rest = strings.TrimSpace(rest)
		switch word {
		case "", "#", "why":
		case "mutant":
			m.Name = rest
		case "in":
			m.File, m.pkg = rest, path.Dir(rest)
		case "test":
			pkg, run, _ := strings.Cut(rest, " ")
			m.tests = append(m.tests, tests{pkg: pkg, run: strings.TrimSpace(run)})
		case "-":
			was = append(was, rest)
		case "+":
			now = append(now, rest)
		default:
			return m, fmt.Errorf("a mutant has no line %q", line)
		}
	}
	if m.Name == "" && m.File == "" && was == nil {
		return m, nil
	}
	if m.Name == "" || m.File == "" || len(was) == 0 {
		return m, fmt.Errorf("the mutant %q lacks its name, its file or its lines", m.Name)
	}
	if m.tests == nil {
		m.tests = []tests{{pkg: m.pkg}}
	}
	source, err := os.ReadFile(filepath.Join(root, filepath.FromSlash(m.File)))
	if err != nil {
		return m, fmt.Errorf("the mutant %q: %w", m.Name, err)
	}
	m.Was, m.Now = strings.Join(was, "\n"), strings.Join(now, "\n")
	lines := bytes.Split(source, []byte("\n"))
	at := -1
	for i := range lines {
		if !same(lines[i:], was) {
			continue
		}
		if at >= 0 {
			return m, fmt.Errorf("the mutant %q fits line %d and line %d of %s", m.Name, at+1, i+1, m.File)
		}
		at = i
	}
	if at < 0 {
		return m, fmt.Errorf("the mutant %q fits no line of %s: write it anew", m.Name, m.File)
	}
	m.Line = at + 1
	rest := append([][]byte{[]byte(m.Now)}, lines[at+len(was):]...)
	m.text = bytes.Join(append(append([][]byte{}, lines[:at]...), rest...), []byte("\n"))
	return m, nil
}

// same reports whether lines begin with these.
func same(lines [][]byte, these []string) bool {
	if len(lines) < len(these) {
		return false
	}
	for i, each := range these {
		if string(bytes.TrimSpace(lines[i])) != each {
			return false
		}
	}
	return true
}
