package tidy

import (
	"go/ast"
	"go/token"
	"os"
	"slices"
	"strings"
	"testing"
)

// impure are packages that touch the world, wait, or share memory. A pure
// package imports none of them, and nothing below them.
var impure = []string{
	"os", "net", "log", "math/rand", "crypto/rand", "syscall", "unsafe", "runtime", "context",
	"database/sql", "io/ioutil", "path/filepath", "plugin", "testing", "expvar",
}

// libraries are what pure packages may import from outside the standard
// library, each of them a parser of bytes.
var libraries = map[string][]string{
	"game/datafile": {"github.com/BurntSushi/toml"}, "game/rulebook": {"github.com/BurntSushi/toml"},
	"record/roster": {"golang.org/x/text/unicode/norm"}, "record/person": {"golang.org/x/text/unicode/norm"},
}

// wallClock are the functions of package time that read the clock, wait, or
// know where the machine stands.
var wallClock = map[string]bool{
	"Now": true, "Since": true, "Until": true, "After": true, "AfterFunc": true, "Sleep": true,
	"Tick": true, "NewTimer": true, "NewTicker": true, "Local": true, "LoadLocation": true,
}

func pureFiles(t *testing.T) []goFile {
	t.Helper()
	var list []goFile
	for _, file := range goFiles(t) {
		if !file.test && contains(pure, file.folder) {
			list = append(list, file)
		}
	}
	if len(list) == 0 {
		t.Fatal("there is no pure package")
	}
	return list
}

func TestPurePackagesTouchNothing(t *testing.T) {
	for _, file := range pureFiles(t) {
		for _, spec := range file.ast.Imports {
			path := importPath(t, spec.Path.Value)
			for _, bad := range impure {
				if path == bad || strings.HasPrefix(path, bad+"/") {
					t.Errorf("%s: a pure package may not import %s", file.at(spec.Pos()), path)
				}
			}
			outside := strings.Contains(strings.Split(path, "/")[0], ".")
			if outside && !contains(libraries[file.folder], path) {
				t.Errorf("%s: %s is no library for a pure package", file.at(spec.Pos()), path)
			}
		}
	}
}

func TestPurePackagesDoNotWaitOrFork(t *testing.T) {
	for _, file := range pureFiles(t) {
		ast.Inspect(file.ast, func(node ast.Node) bool {
			switch node := node.(type) {
			case *ast.GoStmt:
				t.Errorf("%s: a pure package starts no goroutine", file.at(node.Pos()))
			case *ast.SelectStmt:
				t.Errorf("%s: a pure package waits for nothing", file.at(node.Pos()))
			case *ast.ChanType:
				t.Errorf("%s: a pure package has no channel", file.at(node.Pos()))
			case *ast.SelectorExpr:
				from, ok := node.X.(*ast.Ident)
				if ok && from.Name == "time" && wallClock[node.Sel.Name] {
					t.Errorf("%s: a pure package does not ask time.%s", file.at(node.Pos()), node.Sel.Name)
				}
				// Reading the built-in data files once is no state that anybody shares.
				if ok && from.Name == "sync" && !strings.HasPrefix(node.Sel.Name, "Once") {
					t.Errorf("%s: a pure package shares no memory, so it needs no sync.%s", file.at(node.Pos()), node.Sel.Name)
				}
			}
			return true
		})
	}
}

// What the Makefile tests without the race detector, besides the wings, must have
// nothing for it to find: nothing there or in its tests runs beside anything.
func TestWhatRunsWithoutTheRaceDetectorRunsAlone(t *testing.T) {
	text, err := os.ReadFile("../../Makefile")
	if err != nil {
		t.Fatal(err)
	}
	_, line, _ := strings.Cut(string(text), "\nALONE := ")
	line, _, _ = strings.Cut(line, "\n")
	alone := strings.Fields(line)
	if len(alone) == 0 {
		t.Fatal("the Makefile has no ALONE")
	}
	for _, file := range goFiles(t) {
		if !slices.ContainsFunc(alone, func(pattern string) bool {
			folder, below := strings.CutSuffix(strings.TrimPrefix(pattern, "./"), "/...")
			return file.folder == folder || below && strings.HasPrefix(file.folder, folder+"/")
		}) {
			continue
		}
		ast.Inspect(file.ast, func(node ast.Node) bool {
			switch node := node.(type) {
			case *ast.GoStmt:
				t.Errorf("%s: starts a goroutine, and the race detector does not look", file.at(node.Pos()))
			case *ast.SelectorExpr:
				if node.Sel.Name == "Go" || node.Sel.Name == "Parallel" {
					t.Errorf("%s: runs beside others, and the race detector does not look", file.at(node.Pos()))
				}
			}
			return true
		})
	}
}

// TestPurePackagesKeepNoState refuses package variables that can change: the
// fold of one game must not depend on another one. Tables that are filled once
// by a literal or a call are constants in all but name.
func TestPurePackagesKeepNoState(t *testing.T) {
	for _, file := range pureFiles(t) {
		for _, declaration := range file.ast.Decls {
			switch declaration := declaration.(type) {
			case *ast.FuncDecl:
				if declaration.Recv == nil && declaration.Name.Name == "init" {
					t.Errorf("%s: a pure package has no init", file.at(declaration.Pos()))
				}
			case *ast.GenDecl:
				if declaration.Tok != token.VAR || embeds(declaration.Doc) {
					continue
				}
				for _, spec := range declaration.Specs {
					if spec, ok := spec.(*ast.ValueSpec); ok && len(spec.Values) == 0 && !embeds(spec.Doc) {
						t.Errorf("%s: something must fill %s later, and a pure package keeps no state",
							file.at(spec.Pos()), spec.Names[0].Name)
					}
				}
			}
		}
	}
}

// embeds reports whether a variable holds files that were built in.
func embeds(doc *ast.CommentGroup) bool {
	if doc == nil {
		return false
	}
	for _, comment := range doc.List {
		if strings.HasPrefix(comment.Text, "//go:embed ") {
			return true
		}
	}
	return false
}
