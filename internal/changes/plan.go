package changes

import (
	"encoding"
	"encoding/json"
	"reflect"
	"strings"
	"sync"
)

// step is how one field of an object is written.
type step struct {
	index []int // of the field, from the value on
	name  string
	path  string // with the names of the objects around it
	omit  func(reflect.Value) bool
	inner []step // an object that is taken apart further
	list  bool   // a list, whose elements are told apart
	flat  bool   // it, or each element, points to nothing, and can be compared at once
}

// alike reports whether two elements of the list say the same, so that neither need be
// written to find that out: writing takes several times as long.
func (s step) alike(a, b reflect.Value) bool {
	if s.flat {
		return a.Equal(b)
	}
	return reflect.DeepEqual(a.Addr().Interface(), b.Addr().Interface())
}

// same reports the same of the values of a field that is written whole.
func (s step) same(a, b reflect.Value) bool {
	if s.flat {
		return a.Equal(b)
	}
	return reflect.DeepEqual(a.Interface(), b.Interface())
}

var plans sync.Map // of the types that were seen

// planOf returns how a type of objects is taken apart.
func planOf(t reflect.Type) []step {
	if known, ok := plans.Load(t); ok {
		return known.([]step)
	}
	plan := takeApart(t, nil, "")
	plans.Store(t, plan)
	return plan
}

// takeApart lists the fields in the order in which they are written. An object
// is taken apart further if it has lists of its own, which may grow.
func takeApart(t reflect.Type, above []int, prefix string) []step {
	plan := []step{}
	for i := range t.NumField() {
		f := t.Field(i)
		name, options, _ := strings.Cut(f.Tag.Get("json"), ",")
		if !f.IsExported() || name == "-" {
			continue
		}
		if name == "" {
			name = f.Name
		}
		s := step{index: append(append([]int{}, above...), i), name: name, path: prefix + name, flat: flat(f.Type)}
		switch {
		case strings.Contains(options, "omitempty"):
			s.omit = empty
		case strings.Contains(options, "omitzero"):
			s.omit = reflect.Value.IsZero
		case f.Type.Kind() == reflect.Slice && f.Type.Elem().Kind() != reflect.Uint8 && !writesItself(f.Type):
			s.list, s.flat = true, flat(f.Type.Elem())
		case f.Type.Kind() == reflect.Struct && !writesItself(f.Type) && growing(f.Type):
			s.inner = takeApart(f.Type, s.index, s.path+".")
		}
		plan = append(plan, s)
	}
	return plan
}

// flat reports whether values of a type hold all that they say themselves.
func flat(t reflect.Type) bool {
	kind := t.Kind()
	if kind == reflect.Array {
		return flat(t.Elem())
	}
	if kind != reflect.Struct {
		return kind == reflect.String || kind >= reflect.Bool && kind <= reflect.Uint64
	}
	for i := range t.NumField() {
		if !flat(t.Field(i).Type) {
			return false
		}
	}
	return true
}

// growing reports whether an object has lists.
func growing(t reflect.Type) bool {
	for i := range t.NumField() {
		if t.Field(i).Anonymous {
			return false // its fields are written as if they were the object's own
		}
	}
	for i := range t.NumField() {
		if t.Field(i).Type.Kind() == reflect.Slice {
			return true
		}
	}
	return false
}

var (
	marshals     = reflect.TypeFor[json.Marshaler]()
	marshalsText = reflect.TypeFor[encoding.TextMarshaler]()
)

func writesItself(t reflect.Type) bool {
	p := reflect.PointerTo(t)
	return p.Implements(marshals) || p.Implements(marshalsText)
}

// empty is what omitempty leaves out.
func empty(v reflect.Value) bool {
	kind := v.Kind()
	if kind == reflect.Array || kind == reflect.Map || kind == reflect.Slice || kind == reflect.String {
		return v.Len() == 0
	}
	return kind != reflect.Struct && v.IsZero()
}
