package entry

import (
	"go/ast"
	"go/parser"
	"go/token"
	"reflect"
	"strings"
	"testing"
)

// Every kind that is declared has a row, and every body type is the body of one:
// what has none is read by nothing and may be posted by nobody.
func TestEveryKindHasARow(t *testing.T) {
	declared, types := map[string]bool{}, map[string]bool{}
	for _, name := range []string{"bodies.go", "bodies_book.go"} {
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(file, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.ValueSpec:
				for i, one := range n.Names {
					if strings.HasPrefix(one.Name, "Kind") && i < len(n.Values) {
						declared[strings.Trim(n.Values[i].(*ast.BasicLit).Value, `"`)] = true
					}
				}
			case *ast.FuncDecl:
				if n.Name.Name == "Kind" && n.Recv != nil {
					types[n.Recv.List[0].Type.(*ast.Ident).Name] = true
				}
			}
			return true
		})
	}
	for _, k := range Kinds {
		delete(declared, string(k))
		body := k.About().Body
		if body.Kind() != k {
			t.Errorf("the row of %s is about %s", k, body.Kind())
		}
		delete(types, reflect.TypeOf(body).Name())
	}
	for kind := range declared {
		t.Errorf("the kind %s has no row", kind)
	}
	for name := range types {
		t.Errorf("the body %s has no row", name)
	}
	if len(Kinds) < 30 || len(rowOf) != len(Kinds) {
		t.Errorf("%d kinds, %d rows", len(Kinds), len(rowOf))
	}
	if Kind("moon").About().Body != nil || Kind("moon").About().Seats != nil {
		t.Error("there is something to know of a kind that is not there")
	}
}
