package changes

import (
	"bytes"
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"sync"
	"sync/atomic"
)

// Doc is a value at one number, in parts. It is not changed once it was made,
// and safe for use by many goroutines.
type Doc struct {
	of    reflect.Type
	seq   int
	parts []part // of all fields that are not taken apart further, in order
	plan  []step

	once  sync.Once
	whole []byte
}

// part is one field.
type part struct {
	raw   []byte        // nil: left out, or a list
	list  [][]byte      // the elements of a list
	was   reflect.Value // the value itself
	taken *atomic.Int64 // how far the room behind the list is taken
	isSet bool          // it is a list
	since int           // at which number the value, or the length of the list, became what it is
	each  []int         // the same of each element
	last  int           // the newest of all
}

// Same says that an element of a list is as it was in the version before, so
// that it need not be written again to find that out.
type Same func(path string, i int) bool

// Of takes a value apart: an object that nobody changes any more, at a number
// that only grows. Before is its
// version before, or nil; then all of it counts as new. Same may be nil.
func Of(before *Doc, seq int, value any, same Same) (*Doc, error) {
	v := reflect.ValueOf(value)
	if v.Kind() != reflect.Struct {
		return nil, fmt.Errorf("changes: %T is not an object", value)
	}
	d := &Doc{of: v.Type(), seq: seq, plan: planOf(v.Type())}
	if before != nil && before.of != d.of {
		before = nil
	}
	m := maker{doc: d, before: before, same: same}
	if err := m.make(v, d.plan); err != nil {
		return nil, err
	}
	return d, nil
}

type maker struct {
	doc, before *Doc
	same        Same
}

func (m *maker) make(v reflect.Value, plan []step) error {
	for _, s := range plan {
		if s.inner != nil {
			if err := m.make(v, s.inner); err != nil {
				return err
			}
			continue
		}
		var old *part
		if m.before != nil {
			old = &m.before.parts[len(m.doc.parts)]
		}
		field := v.FieldByIndex(s.index)
		var p part
		var err error
		if s.list && !field.IsNil() {
			p, err = m.list(s, field, old)
		} else {
			p, err = m.value(s, field, old)
		}
		if err != nil {
			return err
		}
		m.doc.parts = append(m.doc.parts, p)
	}
	return nil
}

func (m *maker) value(s step, v reflect.Value, old *part) (part, error) {
	if old != nil && !old.isSet && !s.list && s.same(v, old.was) {
		return *old, nil
	}
	p := part{since: m.doc.seq, was: v}
	if s.omit == nil || !s.omit(v) {
		raw, err := json.Marshal(v.Interface())
		if err != nil {
			return p, err
		}
		p.raw = raw
	}
	if old != nil && !old.isSet && bytes.Equal(old.raw, p.raw) && (old.raw == nil) == (p.raw == nil) {
		return *old, nil
	}
	p.last = p.since
	return p, nil
}

// list writes the elements that may be different. The others are those of the
// version before, in the same place in memory where they can be.
func (m *maker) list(s step, v reflect.Value, old *part) (part, error) {
	n, had := v.Len(), 0
	p := part{isSet: true, since: m.doc.seq, was: v}
	if old != nil && old.isSet {
		p.list, p.each, p.taken = old.list, old.each, old.taken
		had = min(n, len(old.list))
		if len(old.list) == n {
			p.since = old.since
		}
	}
	var other map[int][]byte
	if had > 0 && old.was.Pointer() != v.Pointer() { // nobody changes what was written once
		var err error
		if other, err = m.different(s, v, old, had); err != nil {
			return p, err
		}
	}
	if len(other) > 0 || !p.reach(n) {
		p.copied(n, had)
		for i, raw := range other {
			p.list[i], p.each[i] = raw, m.doc.seq
		}
	}
	for i := had; i < n; i++ {
		raw, err := json.Marshal(v.Index(i).Addr().Interface())
		if err != nil {
			return p, err
		}
		p.list[i], p.each[i] = raw, m.doc.seq
	}
	p.last = p.since
	if n > 0 {
		p.last = max(p.last, slices.Max(p.each))
	}
	return p, nil
}

// different writes those of the first elements that are not as they were, by index.
func (m *maker) different(s step, v reflect.Value, old *part, had int) (map[int][]byte, error) {
	other := map[int][]byte{}
	for i := range had {
		if m.same != nil && m.same(s.path, i) || s.alike(v.Index(i), old.was.Index(i)) {
			continue
		}
		raw, err := json.Marshal(v.Index(i).Addr().Interface())
		if err != nil {
			return nil, err
		}
		if !bytes.Equal(old.list[i], raw) {
			other[i] = raw
		}
	}
	return other, nil
}

// reach makes room for n elements behind those that are there, and reports
// whether there is any. The first version that asks gets it: the others see none
// of it.
func (p *part) reach(n int) bool {
	had := len(p.list)
	switch {
	case p.list == nil || n < had:
		return false
	case n == had:
		return true
	case cap(p.list) < n || cap(p.each) < n || !p.taken.CompareAndSwap(int64(had), int64(n)):
		return false
	}
	p.list, p.each = p.list[:n], p.each[:n]
	return true
}

// copied makes lists of its own of n elements, and some room.
func (p *part) copied(n, had int) {
	list, each := p.list, p.each
	p.list, p.each = make([][]byte, n, n+n/8), make([]int, n, n+n/8)
	copy(p.list, list[:had])
	copy(p.each, each[:had])
	p.taken = &atomic.Int64{}
	p.taken.Store(int64(n))
}

// Seq is the number of the version.
func (d *Doc) Seq() int { return d.seq }

// Each gives the numbers at which the elements of a list became what they are,
// nil where the path is no list. They must not be changed.
func (d *Doc) Each(path string) []int {
	next := 0
	var find func(plan []step) []int
	find = func(plan []step) []int {
		for _, s := range plan {
			if s.inner != nil {
				if each := find(s.inner); each != nil {
					return each
				}
				continue
			}
			if s.path == path {
				return d.parts[next].each
			}
			next++
		}
		return nil
	}
	return find(d.plan)
}

// Whole is the value as JSON: the bytes that json.Marshal gives. They must not
// be changed.
func (d *Doc) Whole() []byte {
	d.once.Do(func() {
		w := writer{doc: d}
		w.Grow(d.room())
		w.object(d.plan)
		d.whole = w.Bytes()
	})
	return d.whole
}

// room is about how many bytes the whole takes.
func (d *Doc) room() int {
	const name = 24 // of a field, with its quotes
	n := 0
	for _, p := range d.parts {
		n += name + len(p.raw)
		for _, raw := range p.list {
			n += len(raw) + len(",")
		}
	}
	return n
}

// writer writes parts one after the other.
type writer struct {
	bytes.Buffer
	doc  *Doc
	next int // part
}

func (w *writer) object(plan []step) {
	w.WriteByte('{')
	first := true
	for _, s := range plan {
		if s.inner == nil && !w.doc.parts[w.next].isSet && w.doc.parts[w.next].raw == nil {
			w.next++
			continue
		}
		if !first {
			w.WriteByte(',')
		}
		first = false
		w.key(s.name)
		if s.inner != nil {
			w.object(s.inner)
			continue
		}
		p := &w.doc.parts[w.next]
		w.next++
		if !p.isSet {
			w.Write(p.raw)
			continue
		}
		w.WriteByte('[')
		for i, raw := range p.list {
			if i > 0 {
				w.WriteByte(',')
			}
			w.Write(raw)
		}
		w.WriteByte(']')
	}
	w.WriteByte('}')
}

func (w *writer) key(name string) {
	w.WriteByte('"')
	w.WriteString(name) // names of fields need no escapes
	w.WriteString(`":`)
}

// Change is what is different between two versions.
type Change struct {
	From  int                        `json:"from"`  // it goes onto this version, and onto every later one before Seq
	Seq   int                        `json:"seq"`   // of the version that it leads to
	Set   map[string]json.RawMessage `json:"set"`   // new values by their path, names with dots between
	Gone  []string                   `json:"gone"`  // paths of what is no longer there
	Lists map[string]List            `json:"lists"` // lists by their path
}

// List is how a list changed: its length, and the elements that are new or
// different, by their place from 0.
type List struct {
	Length int                        `json:"length"`
	At     map[string]json.RawMessage `json:"at"`
}

// Since returns what is different from the version with an earlier number.
func (d *Doc) Since(from int) Change {
	c := Change{From: from, Seq: d.seq, Set: map[string]json.RawMessage{}, Gone: []string{}, Lists: map[string]List{}}
	next := 0
	var walk func(plan []step)
	walk = func(plan []step) {
		for _, s := range plan {
			if s.inner != nil {
				walk(s.inner)
				continue
			}
			p := &d.parts[next]
			next++
			switch {
			case p.last <= from:
			case p.isSet:
				c.Lists[s.path] = p.changed(from)
			case p.raw == nil:
				c.Gone = append(c.Gone, s.path)
			default:
				c.Set[s.path] = p.raw
			}
		}
	}
	walk(d.plan)
	return c
}

func (p *part) changed(from int) List {
	l := List{Length: len(p.list), At: map[string]json.RawMessage{}}
	for i, since := range p.each {
		if since > from {
			l.At[strconv.Itoa(i)] = p.list[i]
		}
	}
	return l
}
