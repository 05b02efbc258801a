package tidy

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// root is the root of the repository, seen from this folder.
const root = "../.."

const module = "whistlestop"

// skipped are folders that hold nothing that people write here.
var skipped = map[string]bool{
	".git": true, "node_modules": true, "dist": true, "bin": true, ".build": true,
	"test-results": true, "playwright-report": true,
}

// files lists the files below the root with one of the endings, with slashes
// and from the root.
func files(t *testing.T, endings ...string) []string {
	t.Helper()
	var found []string
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && skipped[d.Name()] {
			return filepath.SkipDir
		}
		for _, ending := range endings {
			if !d.IsDir() && strings.HasSuffix(path, ending) {
				relative, err := filepath.Rel(root, path)
				if err != nil {
					return err
				}
				found = append(found, filepath.ToSlash(relative))
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(found) == 0 {
		t.Fatalf("there is no file ending in %v below %s", endings, root)
	}
	return found
}

func read(t *testing.T, path string) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(root, path))
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// goFile is a parsed file of the program's own module.
type goFile struct {
	path   string // from the root
	folder string // of the package, from the root
	test   bool
	ast    *ast.File
	set    *token.FileSet
}

func (f goFile) at(pos token.Pos) string {
	return f.path + ":" + strconv.Itoa(f.set.Position(pos).Line)
}

// goFiles parses every Go file of the program's own module; the tools are a
// module of their own.
func goFiles(t *testing.T) []goFile {
	t.Helper()
	var list []goFile
	for _, path := range files(t, ".go") {
		if strings.HasPrefix(path, "tools/") || strings.Contains(path, "/testdata/") {
			continue
		}
		set := token.NewFileSet()
		parsed, err := parser.ParseFile(set, filepath.Join(root, path), nil, parser.ParseComments)
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, goFile{
			path: path, folder: filepath.ToSlash(filepath.Dir(path)),
			test: strings.HasSuffix(path, "_test.go"), ast: parsed, set: set,
		})
	}
	return list
}
