package tidy

import (
	"go/ast"
	"go/token"
	"strconv"
	"strings"
	"testing"
	"unicode"
)

// sentencesIn are the files of pure packages that may have sentences of their own,
// with the reason. Everywhere else a sentence is a key of the catalogues: another
// language could not say it otherwise, and a stranger's words are chosen in one place.
var sentencesIn = map[string]string{
	"game/datafile/toml.go":      "a pattern for what the library of the format says",
	"practice/maker/answer.go":   "a page of docs/, which is English like the others there",
	"record/typed/words.go":      "names of columns as people write them on paper",
	"season/schedule/measure.go": "for whoever writes a program that makes schedules; no screen shows it",
}

func TestPurePackagesSpeakByKeys(t *testing.T) {
	used := map[string]bool{}
	for _, file := range pureFiles(t) {
		ast.Inspect(file.ast, func(node ast.Node) bool {
			switch node := node.(type) {
			case *ast.ImportSpec:
				return false
			case *ast.Field:
				node.Tag = nil
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
