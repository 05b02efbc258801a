package main

import (
	"go/ast"
	"go/constant"
	"go/types"
	"path/filepath"
	"reflect"
	"strings"

	"golang.org/x/tools/go/packages"
)

// Source is what reflection does not tell about the Go types: the constants of
// a named string type and the comments of types and fields.
type Source struct {
	constants map[string][]string // by "package.Type", in the order of the source
	comments  map[string]string   // by "package.Type" and "package.Type.Field"
}

func readSource(root string) (*Source, error) {
	absolute, err := filepath.Abs(root)
	if err != nil {
		return nil, err
	}
	patterns := make([]string, len(folders))
	for i, name := range folders {
		patterns[i] = "./" + name
	}
	loaded, err := packages.Load(&packages.Config{
		Mode: packages.NeedName | packages.NeedSyntax | packages.NeedTypes |
			packages.NeedTypesInfo | packages.NeedImports | packages.NeedDeps | packages.NeedFiles,
		Dir: absolute,
	}, patterns...)
	if err != nil {
		return nil, err
	}
	source := &Source{constants: map[string][]string{}, comments: map[string]string{}}
	for _, p := range loaded {
		if len(p.Errors) > 0 {
			return nil, p.Errors[0]
		}
		for _, file := range p.Syntax {
			source.read(p, file)
		}
	}
	return source, nil
}

func (s *Source) read(p *packages.Package, file *ast.File) {
	for _, declaration := range file.Decls {
		general, ok := declaration.(*ast.GenDecl)
		if !ok {
			continue
		}
		for _, spec := range general.Specs {
			switch spec := spec.(type) {
			case *ast.ValueSpec:
				s.readConstants(p, spec)
			case *ast.TypeSpec:
				s.readComments(p.Name+"."+spec.Name.Name, general.Doc, spec)
			}
		}
	}
}

func (s *Source) readConstants(p *packages.Package, spec *ast.ValueSpec) {
	for _, name := range spec.Names {
		c, ok := p.TypesInfo.Defs[name].(*types.Const)
		if !ok || c.Val().Kind() != constant.String {
			continue
		}
		named, ok := c.Type().(*types.Named)
		if !ok {
			continue
		}
		key := named.Obj().Pkg().Name() + "." + named.Obj().Name()
		s.constants[key] = append(s.constants[key], constant.StringVal(c.Val()))
	}
}

func (s *Source) readComments(key string, group *ast.CommentGroup, spec *ast.TypeSpec) {
	doc := spec.Doc
	if doc == nil {
		doc = group
	}
	s.comments[key] = oneLine(doc.Text())
	structure, ok := spec.Type.(*ast.StructType)
	if !ok {
		return
	}
	for _, field := range structure.Fields.List {
		text := oneLine(field.Doc.Text() + " " + field.Comment.Text())
		for _, name := range field.Names {
			s.comments[key+"."+name.Name] = text
		}
	}
}

func oneLine(text string) string { return strings.Join(strings.Fields(text), " ") }

// key names a Go type as Source does.
func key(t reflect.Type) string { return t.String() }
