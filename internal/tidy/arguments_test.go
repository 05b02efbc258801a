package tidy

import (
	"go/ast"
	"go/token"
	"maps"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// forOtherLanguages are arguments that the English text leaves aside and another
// language may need, by the key.
var forOtherLanguages = map[string][]string{
	"drill.heard.choice":     {"team"},
	"hold.doubt.restarted":   {"time"},
	"roster.name_twice":      {"row"}, // of the other
	"roster.number_twice":    {"row"},
	"roster.suspended_again": {"row"},
}

// whole are the functions that fill every gap by what is passed to them. What others
// add themselves cannot be read where they are called.
var whole = []string{
	"New", "Because", "Nested", "NewNo", "NotHere", "NotNow", "NotThere", "Refuse", "Unread", "Say", "line", "print", "say",
}

// saying is a place where a sentence is said by a literal key, with the names of what
// fills its gaps where they can be read.
type saying struct {
	key   string
	names []string
	open  bool // more may be passed than can be read
}

// pairsAfter reads names and values in turn.
func pairsAfter(args []ast.Expr, spread bool) (names []string, open bool) {
	for i, arg := range args {
		if i%2 == 1 {
			continue
		}
		name, known := literal(arg)
		if !known || spread && i >= len(args)-1 {
			return names, true
		}
		names = append(names, name)
	}
	return names, false
}

func literal(node ast.Expr) (string, bool) {
	lit, is := node.(*ast.BasicLit)
	if !is || lit.Kind != token.STRING {
		return "", false
	}
	text, err := strconv.Unquote(lit.Value)
	return text, err == nil
}

// sayingOfCall reads a call that has a key as its first text and pairs after it, such
// as message.New("a.key", "gap", value). Whatever else a function does with its key it
// takes the pairs behind it: that is how sentences are said here.
func sayingOfCall(call *ast.CallExpr, keys map[string]string) (s saying, is bool) {
	for i, arg := range call.Args {
		text, known := literal(arg)
		if !known {
			continue
		}
		if keys[text] == "" {
			return s, false
		}
		s.key = text
		s.names, s.open = pairsAfter(call.Args[i+1:], call.Ellipsis.IsValid())
		name := nameOf(call.Fun)
		if name == "Because" {
			s.names = append(s.names, "why")
		}
		s.open = s.open || !slices.Contains(whole, name)
		return s, true
	}
	return s, false
}

// sayingOfLiteral reads rules.Say{Key: "a.key", Args: rules.Pairs("gap", value)}.
func sayingOfLiteral(composite *ast.CompositeLit, keys map[string]string) (s saying, is bool) {
	for _, element := range composite.Elts {
		pair, named := element.(*ast.KeyValueExpr)
		if !named {
			return s, false
		}
		field, _ := pair.Key.(*ast.Ident)
		switch {
		case field == nil:
			return s, false
		case field.Name == "Key":
			s.key, _ = literal(pair.Value)
		case field.Name == "Args":
			call, made := pair.Value.(*ast.CallExpr)
			if !made || nameOf(call.Fun) != "Pairs" {
				s.open = true
				continue
			}
			s.names, s.open = pairsAfter(call.Args, call.Ellipsis.IsValid())
		}
	}
	return s, keys[s.key] != ""
}

func nameOf(fun ast.Expr) string {
	switch fun := fun.(type) {
	case *ast.Ident:
		return fun.Name
	case *ast.SelectorExpr:
		return fun.Sel.Name
	}
	return ""
}

// TestGapsAreFilledAndArgumentsUsed reads every place where a sentence is said by a
// literal key: each gap of the English text is filled there, and what is passed stands
// in the text, or is listed for other languages.
func TestGapsAreFilledAndArgumentsUsed(t *testing.T) {
	all := messages(t)
	gaps := map[string]map[string]bool{}
	for form, text := range all {
		key, _, _ := strings.Cut(form, "#")
		if gaps[key] == nil {
			gaps[key] = map[string]bool{}
		}
		for _, found := range gap.FindAllString(text, -1) {
			gaps[key][strings.Trim(found, "{}")] = true
		}
	}
	read, aside := 0, map[string]bool{}
	for _, file := range goFiles(t) {
		if file.test {
			continue
		}
		ast.Inspect(file.ast, func(node ast.Node) bool {
			var s saying
			is := false
			switch node := node.(type) {
			case *ast.CallExpr:
				s, is = sayingOfCall(node, all)
			case *ast.CompositeLit:
				s, is = sayingOfLiteral(node, all)
			}
			if !is {
				return true
			}
			read++
			for _, name := range slices.Sorted(maps.Keys(gaps[s.key])) {
				if !s.open && !slices.Contains(s.names, name) {
					t.Errorf("%s: nothing fills {%s} of %s", file.at(node.Pos()), name, s.key)
				}
			}
			for _, name := range s.names {
				if gaps[s.key][name] {
					continue
				}
				if aside[s.key+" "+name] = true; !slices.Contains(forOtherLanguages[s.key], name) {
					t.Errorf("%s: the text of %s has no gap {%s}", file.at(node.Pos()), s.key, name)
				}
			}
			return true
		})
	}
	for key, names := range forOtherLanguages {
		for _, name := range names {
			if !aside[key+" "+name] {
				t.Errorf("nobody passes %s to %s: take it off the list", name, key)
			}
		}
	}
	if read < 800 {
		t.Errorf("only %d places are read", read)
	}
}
