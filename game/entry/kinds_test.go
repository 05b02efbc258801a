package entry

import (
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"reflect"
	"slices"
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
	for i, k := range Kinds {
		if k.About() != &rows[i] {
			t.Errorf("the row of %s is that of %s", k, k.About().Body.Kind())
		}
		if row := k.About(); (row.Order.Of == "") != (row.Order.Stands == 0) {
			t.Errorf("the row of %s has half an order: %+v", k, row.Order)
		}
	}
	if len(Kinds) < 30 {
		t.Errorf("only %d kinds", len(Kinds))
	}
	if Kind("moon").About().Body != nil || Kind("moon").About().Seats != nil {
		t.Error("there is something to know of a kind that is not there")
	}
}

// What of a body is the number of who played is written as the roster writes it
// (MapNumbers), what is a side is the side that it is about (SideOf), and what is a
// name is a text about a person (MapBody): each is found by its type, so that a new
// kind cannot be forgotten there.
func TestEveryNumberSideAndNameIsKnown(t *testing.T) {
	numbers := map[string]string{ // places of numbers that stay as they are
		"game_opened.Home.Players.Number":     "a roster says how a number is written",
		"game_opened.Visitors.Players.Number": "a roster says how a number is written",
		"roster_set.Team.Players.Number":      "a roster says how a number is written",
		"choice.Picks":                        "picks from a list",
	}
	sides := map[string]string{ // kinds with a side that are not about it
		"roster_confirmed": "its sentence names the team itself",
		"note":             "it is about the game, and a side is said of one note only",
	}
	names := []string{"Name", "By", "Code", "Drawing"} // of people, but for teams
	for _, k := range Kinds {
		if k.Edits() {
			continue // they say what another kind does
		}
		body := reflect.New(reflect.TypeOf(k.About().Body)).Elem()
		var planted []Jersey
		var texts []string
		plant(body, string(k), func(path string, v reflect.Value) {
			name := path[strings.LastIndex(path, ".")+1:]
			switch {
			case v.Type() == reflect.TypeFor[Side]():
				v.SetString(string(Home))
			case v.Type() == reflect.TypeFor[Jersey]() && numbers[path] == "":
				v.SetString("N" + path)
				planted = append(planted, Jersey(v.String()))
			case v.Type() == reflect.TypeFor[string]() && slices.Contains(names, name) && !strings.HasSuffix(path, "Home.Name") &&
				!strings.HasSuffix(path, "Visitors.Name") && !strings.HasSuffix(path, "Team.Name"):
				v.SetString("T" + path)
				texts = append(texts, v.String())
			}
		})
		got := body.Interface().(Body)
		MapNumbers(got, func(_ Side, j Jersey) Jersey {
			planted = slices.DeleteFunc(planted, func(p Jersey) bool { return p == j })
			return j
		})
		MapBody(got, func(_ Text, text string) string {
			texts = slices.DeleteFunc(texts, func(p string) bool { return p == text })
			return text
		})
		if len(planted)+len(texts) > 0 {
			t.Errorf("numbers %q and names %q are looked at by nobody", planted, texts)
		}
		if field := body.FieldByName("Side"); field.IsValid() && (SideOf(got) == "") != (sides[string(k)] != "") {
			t.Errorf("%s has a side; the side that it is about is %q", k, SideOf(got))
		}
	}
}

// plant comes to every place of a value, with one element in every list.
func plant(v reflect.Value, path string, at func(path string, v reflect.Value)) {
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			plant(v.Field(i), path+"."+v.Type().Field(i).Name, at)
		}
	case reflect.Slice:
		if v.Type() != reflect.TypeFor[json.RawMessage]() {
			v.Set(reflect.MakeSlice(v.Type(), 1, 1))
			plant(v.Index(0), path, at)
		}
	default:
		at(path, v)
	}
}
