package tidy

import (
	"go/ast"
	"slices"
	"strings"
	"testing"
)

// TestSwitchesOverBodiesAreWhole: whoever goes by what an entry says names every
// kind of body, or says with a default what becomes of the others. Where neither
// stands, a new kind would slip through unseen.
func TestSwitchesOverBodiesAreWhole(t *testing.T) {
	var bodies []string
	for _, file := range goFiles(t) {
		if file.folder != "game/entry" || file.test {
			continue
		}
		for _, declaration := range file.ast.Decls {
			method, is := declaration.(*ast.FuncDecl)
			if !is || method.Recv == nil || method.Name.Name != "Kind" {
				continue
			}
			if of, is := method.Recv.List[0].Type.(*ast.Ident); is && of.Name != "Entry" {
				bodies = append(bodies, of.Name)
			}
		}
	}
	if len(bodies) < 30 {
		t.Fatalf("only %d bodies were found: the test shows nothing", len(bodies))
	}
	seen := 0
	for _, file := range goFiles(t) {
		if file.test {
			continue
		}
		ast.Inspect(file.ast, func(n ast.Node) bool {
			choice, is := n.(*ast.TypeSwitchStmt)
			if !is {
				return true
			}
			named, rest := casesOf(choice, file.folder == "game/entry")
			if !slices.ContainsFunc(named, func(name string) bool { return slices.Contains(bodies, name) }) {
				return true
			}
			seen++
			missing := slices.DeleteFunc(slices.Clone(bodies), func(name string) bool { return slices.Contains(named, name) })
			if !rest && len(missing) > 0 {
				t.Errorf("%s: the switch leaves out %s: name them, or say with a default what becomes of them",
					file.at(choice.Pos()), strings.Join(missing, ", "))
			}
			return true
		})
	}
	if seen < 10 {
		t.Errorf("only %d switches over bodies were found", seen)
	}
}

// casesOf lists the types of the package game/entry that a switch names, and says
// whether it has a default.
func casesOf(choice *ast.TypeSwitchStmt, inside bool) (named []string, rest bool) {
	for _, clause := range choice.Body.List {
		list := clause.(*ast.CaseClause).List
		rest = rest || list == nil
		for _, one := range list {
			switch of := one.(type) {
			case *ast.SelectorExpr:
				if from, is := of.X.(*ast.Ident); is && from.Name == "entry" {
					named = append(named, of.Sel.Name)
				}
			case *ast.Ident:
				if inside {
					named = append(named, of.Name)
				}
			default:
			}
		}
	}
	return named, rest
}
