package tidy

import (
	"go/ast"
	"go/token"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"unicode"
)

// sentencesIn are the files of pure packages that may have sentences of their own,
// with the reason. Everywhere else a sentence is a key of the catalogues: another
// language could not say it otherwise, and a stranger's words are chosen in one place.
var sentencesIn = map[string]string{
	"game/datafile/toml.go":             "a pattern for what the library of the format says",
	"practice/maker/answer.go":          "a page of docs/, which is English like the others there",
	"record/typed/words.go":             "names of columns as people write them on paper",
	"cmd/whistlestop/health.go":         "of a file on the disk, to whoever finds it",
	"cmd/whistlestop/help.go":           "patterns for what the library of the command line says",
	"internal/api/laptop/division.go":   "the source of a setting, which stands in files",
	"internal/api/laptop/operations.go": "the published description of the API",
	"internal/api/crew/operations.go":   "the published description of the API",
	"internal/demo/ledger.go":           "faults of the invented game itself, which a test would find",
	"internal/paper/html/shared.go":     "a policy for browsers",
	"internal/paper/pdf/tag.go":         "the form of the file",
	"season/schedule/measure.go":        "for whoever writes a program that makes schedules; no screen shows it",
}

// speaks matches the files beyond the wings from which texts reach people.
var speaks = regexp.MustCompile(`^(cmd/|internal/(api|demo|paper|practice)/)`)

func TestSentencesAreKeys(t *testing.T) {
	used := map[string]bool{}
	speaking := pureFiles(t)
	for _, file := range goFiles(t) {
		if !file.test && (speaks.MatchString(file.path)) {
			speaking = append(speaking, file)
		}
	}
	for _, file := range speaking {
		ast.Inspect(file.ast, func(node ast.Node) bool {
			switch node := node.(type) {
			case *ast.ImportSpec:
				return false
			case *ast.Field:
				if node.Tag != nil && strings.Contains(node.Tag.Value, `help:"`) {
					t.Errorf("%s: the help of a command is a key help.<command>.<flag> of the catalogue", file.at(node.Tag.Pos()))
				}
				node.Tag = nil
			case *ast.CallExpr:
				return !isLog(node)
			case *ast.KeyValueExpr:
				if key, named := node.Key.(*ast.Ident); named && key.Name == "About" {
					return false // of the published description of the API, which programmers read
				}
			case *ast.BasicLit:
				text, err := strconv.Unquote(node.Value)
				if node.Kind != token.STRING || err != nil || !isSentence(text) {
					return true
				}
				path, _, _ := strings.Cut(file.at(node.Pos()), ":")
				if used[path] = true; sentencesIn[path] == "" {
					t.Errorf("%s: %q is a sentence: make it a key of the message catalogues", file.at(node.Pos()), text)
				}
			}
			return true
		})
	}
	for path := range sentencesIn {
		if !used[path] {
			t.Errorf("%s has no sentence any more: take it off the list", path)
		}
	}
}

// isLog reports whether a call writes into the log, which is for engineers and English,
// or stops the program because of a mistake of ours.
func isLog(call *ast.CallExpr) bool {
	switch to := call.Fun.(type) {
	case *ast.Ident:
		return to.Name == "panic"
	case *ast.SelectorExpr:
		switch to.Sel.Name {
		case "Debug", "Info", "Warn", "Error", "Fatal", "Fatalf":
			return true
		}
	}
	return false
}

// isSentence reports whether a text has four words or more.
func isSentence(text string) bool {
	words := 0
	for word := range strings.FieldsSeq(text) {
		letters := strings.Count(strings.Map(func(r rune) rune {
			if unicode.IsLetter(r) {
				return 'a'
			}
			return '.'
		}, word), "a")
		if letters >= 2 && letters+2 >= len([]rune(word)) {
			words++
		}
	}
	return words >= 4
}
