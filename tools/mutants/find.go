package main

import (
	"fmt"
	"go/ast"
	"go/constant"
	"go/token"
	"go/types"
	"strconv"
	"strings"

	"golang.org/x/tools/go/packages"
)

// mutant is one change of one file.
type mutant struct {
	Name string `json:"name"` // of the file, the function and the change: it outlives lines that move
	File string `json:"file"` // within the repository
	Line int    `json:"line"`
	Was  string `json:"was"`
	Now  string `json:"now"`

	pkg   string
	text  []byte // the whole file with the change in it
	tests []tests
}

// finder collects the mutants of one file.
type finder struct {
	fset   *token.FileSet
	info   *types.Info
	source []byte
	pkg    string
	file   string // within the repository

	function string
	seen     map[string]int
	found    []mutant
}

// find returns every mutant of a package, in the order of the source. Files are
// those that are compiled here: what is for another system is left out.
func find(root, pkg string) ([]mutant, error) {
	loaded, err := packages.Load(&packages.Config{
		Mode:       packages.LoadSyntax,
		Dir:        root,
		BuildFlags: []string{"-tags=no_ui"},
	}, "./"+pkg)
	if err != nil {
		return nil, err
	}
	var all []mutant
	for _, p := range loaded {
		if len(p.Errors) > 0 {
			return nil, fmt.Errorf("%s: %w", pkg, p.Errors[0])
		}
		for _, file := range p.Syntax {
			found, err := findIn(root, pkg, p.Fset, file, p.TypesInfo)
			if err != nil {
				return nil, err
			}
			all = append(all, found...)
		}
	}
	return all, nil
}

// look walks a node and what is in it.
func (f *finder) look(root ast.Node) {
	ast.Inspect(root, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.GenDecl:
			return n.Tok != token.IMPORT
		case *ast.Field: // a struct's tag, a parameter's type
			return false
		case *ast.DeferStmt: // mostly of a lock or a file: without it tests hang, and say little
			return false
		case *ast.IfStmt:
			f.branch(n)
		case *ast.CaseClause:
			for _, each := range n.List {
				if f.isBool(each) {
					f.wrap(each, "turn round", "!(", ")")
				}
			}
		case *ast.ReturnStmt:
			f.returned(n)
		case *ast.BinaryExpr:
			f.binary(n)
		case *ast.ExprStmt:
			if call, ok := n.X.(*ast.CallExpr); ok {
				f.drop(call, "")
			}
		case *ast.AssignStmt:
			f.assign(n)
		case *ast.IncDecStmt:
			swap := map[token.Token]string{token.INC: "--", token.DEC: "++"}
			f.replace(n.TokPos, n.TokPos+2, "swap", swap[n.Tok])
		case *ast.BranchStmt:
			if n.Tok == token.CONTINUE && n.Label == nil {
				f.replace(n.Pos(), n.End(), "swap", "break")
			}
		case *ast.BasicLit:
			f.number(n)
		case *ast.Ident:
			f.name(n)
		}
		return true
	})
}

// branch turns a condition round; a check that leaves early is also left out.
func (f *finder) branch(n *ast.IfStmt) {
	f.wrap(n.Cond, "turn round", "!(", ")")
	if n.Else != nil || len(n.Body.List) == 0 {
		return
	}
	switch n.Body.List[len(n.Body.List)-1].(type) {
	case *ast.ReturnStmt, *ast.BranchStmt:
		f.wrap(n.Cond, "no check", "false && (", ")")
	}
}

// returned turns what is returned round, and leaves out a call whose only answer
// is an error.
func (f *finder) returned(n *ast.ReturnStmt) {
	for _, each := range n.Results {
		switch each := each.(type) {
		case *ast.BinaryExpr, *ast.UnaryExpr:
			if f.isBool(each) {
				f.wrap(each, "turn round", "!(", ")")
			}
		case *ast.CallExpr:
			f.dropFailing(each)
		}
	}
}

// swaps are the operators that are mistaken for each other.
var swaps = map[token.Token]token.Token{
	token.LSS: token.LEQ, token.LEQ: token.LSS, token.GTR: token.GEQ, token.GEQ: token.GTR,
	token.LAND: token.LOR, token.LOR: token.LAND,
	token.ADD: token.SUB, token.SUB: token.ADD,
	token.EQL: token.NEQ, token.NEQ: token.EQL,
}

func (f *finder) binary(n *ast.BinaryExpr) {
	other, ok := swaps[n.Op]
	if !ok {
		return
	}
	if n.Op == token.ADD && !f.isNumber(n.X) { // a text is joined
		return
	}
	f.replace(n.OpPos, n.OpPos+token.Pos(len(n.Op.String())), "swap", other.String())
}

// assign leaves an assignment out, and a call whose only answer is an error.
func (f *finder) assign(n *ast.AssignStmt) {
	if len(n.Rhs) == 1 {
		if call, ok := n.Rhs[0].(*ast.CallExpr); ok {
			f.dropFailing(call)
		}
	}
	if len(n.Lhs) != 1 || len(n.Rhs) != 1 {
		return
	}
	switch n.Tok {
	case token.ASSIGN:
		if id, ok := n.Lhs[0].(*ast.Ident); ok && id.Name == "_" {
			return
		}
		f.replace(n.Pos(), n.End(), "leave out", "_ = any("+f.of(n.Rhs[0])+")")
	case token.ADD_ASSIGN, token.SUB_ASSIGN:
		if f.isNumber(n.Lhs[0]) {
			swap := map[token.Token]string{token.ADD_ASSIGN: "-=", token.SUB_ASSIGN: "+="}
			f.replace(n.TokPos, n.TokPos+2, "swap", swap[n.Tok])
		}
	}
}

// never are calls that are not left out: without them tests hang, or only a log
// has a line less.
var never = map[string]bool{
	"Lock": true, "Unlock": true, "RLock": true, "RUnlock": true, "Done": true, "Wait": true, "Add": true,
	"close": true, "panic": true, "Info": true, "Warn": true, "Error": true, "Debug": true, "cancel": true,
}

// dropFailing leaves a call out whose only answer is an error: it succeeds and
// does nothing.
func (f *finder) dropFailing(call *ast.CallExpr) {
	if t := f.info.TypeOf(call); t != nil && types.Identical(t, types.Universe.Lookup("error").Type()) {
		f.drop(call, " error")
	}
}

// drop leaves a call out. Everything in it is still used, or it would not build.
func (f *finder) drop(call *ast.CallExpr, answer string) {
	used := []string{}
	switch fun := call.Fun.(type) {
	case *ast.FuncLit:
		return
	case *ast.SelectorExpr:
		if never[fun.Sel.Name] || f.ofPackage(fun, "errors", "fmt") && answer != "" {
			return
		}
		used = append(used, f.of(fun))
	case *ast.Ident:
		if never[fun.Name] {
			return
		}
		if _, builtin := f.info.Uses[fun].(*types.Builtin); !builtin {
			used = append(used, fun.Name)
		}
	}
	for _, arg := range call.Args {
		used = append(used, f.of(arg))
	}
	body := "{}"
	if answer != "" {
		body = "{ return nil }"
	}
	f.replace(call.Pos(), call.End(), "leave out", "func(...any)"+answer+" "+body+"("+strings.Join(used, ", ")+")")
}

// ofPackage reports whether a function is of one of these packages.
func (f *finder) ofPackage(fun *ast.SelectorExpr, names ...string) bool {
	id, ok := fun.X.(*ast.Ident)
	if !ok {
		return false
	}
	imported, ok := f.info.Uses[id].(*types.PkgName)
	if !ok {
		return false
	}
	for _, name := range names {
		if imported.Imported().Path() == name {
			return true
		}
	}
	return false
}

// number changes a number: a small one by one, a limit to half of it and twice as
// much, the permissions of a file to those of everybody.
func (f *finder) number(n *ast.BasicLit) {
	switch {
	case n.Kind == token.FLOAT:
		f.wrap(n, "change", "(2 * ", ")")
	case n.Kind != token.INT:
	case strings.HasPrefix(n.Value, "0o"):
		f.wrap(n, "change", "(", " | 0o077)")
	default:
		value, exact := constant.Int64Val(constant.MakeFromLiteral(n.Value, token.INT, 0))
		if !exact {
			return
		}
		if value < 10 {
			f.replace(n.Pos(), n.End(), "change", strconv.FormatInt(value+1, 10))
			return
		}
		f.replace(n.Pos(), n.End(), "change", strconv.FormatInt(value/2, 10))
		f.replace(n.Pos(), n.End(), "change", strconv.FormatInt(value*2, 10))
	}
}

// name swaps true and false, min and max.
func (f *finder) name(n *ast.Ident) {
	other := map[string]string{"true": "false", "false": "true", "min": "max", "max": "min"}[n.Name]
	if used := f.info.Uses[n]; other == "" || used == nil || used.Parent() != types.Universe {
		return
	}
	f.replace(n.Pos(), n.End(), "swap", other)
}

func (f *finder) isBool(e ast.Expr) bool   { return f.is(e, types.IsBoolean) }
func (f *finder) isNumber(e ast.Expr) bool { return f.is(e, types.IsNumeric) }

func (f *finder) is(e ast.Expr, info types.BasicInfo) bool {
	t := f.info.TypeOf(e)
	if t == nil {
		return false
	}
	basic, ok := t.Underlying().(*types.Basic)
	return ok && basic.Info()&info != 0
}
