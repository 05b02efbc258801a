package main

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"os"
	"path"
	"path/filepath"
	"strings"
)

// findIn returns the mutants of one file.
func findIn(root, pkg string, fset *token.FileSet, file *ast.File, info *types.Info) ([]mutant, error) {
	name := fset.Position(file.Package).Filename
	source, err := os.ReadFile(name)
	if err != nil {
		return nil, err
	}
	if ast.IsGenerated(file) {
		return nil, nil
	}
	f := &finder{
		fset: fset, info: info, source: source, pkg: pkg, file: path.Join(pkg, filepath.Base(name)),
		seen: map[string]int{},
	}
	for _, declared := range file.Decls {
		f.function = "-"
		if function, ok := declared.(*ast.FuncDecl); ok {
			f.function = function.Name.Name
			if function.Body != nil {
				f.look(function.Body)
			}
			continue
		}
		f.look(declared)
	}
	return f.found, nil
}

// of returns the source of a node.
func (f *finder) of(n ast.Node) string { return f.between(n.Pos(), n.End()) }

func (f *finder) between(from, to token.Pos) string {
	return string(f.source[f.fset.Position(from).Offset:f.fset.Position(to).Offset])
}

// wrap puts something before and after a node.
func (f *finder) wrap(n ast.Node, kind, before, after string) {
	f.replace(n.Pos(), n.End(), kind, before+f.of(n)+after)
}

// replace keeps one mutant.
func (f *finder) replace(from, to token.Pos, kind, by string) {
	start, end := f.fset.Position(from).Offset, f.fset.Position(to).Offset
	text := append(append(append([]byte{}, f.source[:start]...), by...), f.source[end:]...)
	line := f.fset.Position(from).Line
	change := fmt.Sprintf("%s %s: %s", f.file, f.function, kind)
	switch kind {
	case "swap", "change": // the operator alone says nothing: its line does
		change += fmt.Sprintf(" %s to %s in %s", f.between(from, to), by, f.lineOf(start))
	default:
		change += " " + short(f.between(from, to))
	}
	f.seen[change]++
	if nth := f.seen[change]; nth > 1 {
		change += fmt.Sprintf(" (%d)", nth)
	}
	f.found = append(f.found, mutant{
		Name: change, File: f.file, Line: line, Was: f.between(from, to), Now: by, pkg: f.pkg, text: text,
		tests: testsOf(f.pkg),
	})
}

// lineOf returns the line of source around an offset.
func (f *finder) lineOf(offset int) string {
	from := strings.LastIndexByte(string(f.source[:offset]), '\n') + 1
	line, _, _ := strings.Cut(string(f.source[from:]), "\n")
	return short(line)
}

// short is a text on one line that fits into a list.
func short(text string) string {
	const most = 90
	text = strings.Join(strings.Fields(text), " ")
	if len(text) > most {
		return text[:most] + "..."
	}
	return text
}
