package changes_test

import (
	"encoding/json"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"whistlestop/internal/changes"
)

type inner struct {
	Said  []string `json:"said"`
	Count int      `json:"count"`
}

type line struct {
	Text string   `json:"text"`
	More []string `json:"more,omitempty"`
}

// loud writes itself, as a pointer.
type loud string

// MarshalJSON writes it in capitals.
func (l *loud) MarshalJSON() ([]byte, error) { return json.Marshal(strings.ToUpper(string(*l))) }

type doc struct {
	Name   string          `json:"name"`
	Lines  []line          `json:"lines"`
	Loud   []loud          `json:"loud"`
	Book   inner           `json:"book"`
	Maybe  *int            `json:"maybe,omitempty"`
	Zero   inner           `json:"zero,omitzero"`
	Pair   [2]int          `json:"pair"`
	Raw    json.RawMessage `json:"raw"`
	Hidden int             `json:"-"`
	Plain  bool
}

func draw(t *rapid.T, name string) doc {
	word := rapid.SampledFrom([]string{"", "goal", "<b> & \"q\"", "ø"})
	d := doc{Name: word.Draw(t, name), Raw: json.RawMessage(`{"a":1}`), Pair: [2]int{rapid.IntRange(0, 2).Draw(t, "pair"), 1}}
	for range rapid.IntRange(0, 5).Draw(t, "lines") {
		d.Lines = append(d.Lines, line{Text: word.Draw(t, "line"), More: []string{word.Draw(t, "more")}})
	}
	if rapid.Bool().Draw(t, "not nil") && d.Lines == nil {
		d.Lines = []line{}
	}
	for range rapid.IntRange(0, 3).Draw(t, "loud") {
		d.Loud = append(d.Loud, loud(word.Draw(t, "loud")))
	}
	for range rapid.IntRange(0, 3).Draw(t, "said") {
		d.Book.Said = append(d.Book.Said, word.Draw(t, "said"))
	}
	if rapid.Bool().Draw(t, "maybe") {
		n := rapid.IntRange(0, 2).Draw(t, "n")
		d.Maybe = &n
	}
	d.Zero.Count = rapid.IntRange(0, 1).Draw(t, "zero")
	d.Plain = rapid.Bool().Draw(t, "plain")
	return d
}

// put does what a screen does with a change.
func put(t interface{ Fatal(...any) }, state map[string]any, c changes.Change) {
	raw, err := json.Marshal(c)
	if err != nil {
		t.Fatal(err)
	}
	var change struct {
		Set   map[string]any
		Gone  []string
		Lists map[string]struct {
			Length int
			At     map[string]any
		}
	}
	if err := json.Unmarshal(raw, &change); err != nil {
		t.Fatal(err)
	}
	at := func(path string) (map[string]any, string) {
		object, names := state, strings.Split(path, ".")
		for _, name := range names[:len(names)-1] {
			object = object[name].(map[string]any)
		}
		return object, names[len(names)-1]
	}
	for path, value := range change.Set {
		object, name := at(path)
		object[name] = value
	}
	for _, path := range change.Gone {
		object, name := at(path)
		delete(object, name)
	}
	for path, list := range change.Lists {
		object, name := at(path)
		old, _ := object[name].([]any)
		fresh := make([]any, list.Length)
		copy(fresh, old)
		for place, value := range list.At {
			i, err := strconv.Atoi(place)
			if err != nil {
				t.Fatal(err)
			}
			fresh[i] = value
		}
		object[name] = fresh
	}
}

func read(t interface{ Fatal(...any) }, raw []byte) map[string]any {
	var value map[string]any
	if err := json.Unmarshal(raw, &value); err != nil {
		t.Fatal(err, string(raw))
	}
	return value
}

// TestChangesGiveTheWhole: the whole is what the JSON package writes, and the
// changes since any version lead from it, and from every version after it, to
// the newest.
func TestChangesGiveTheWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var versions []*changes.Doc
		var newest *changes.Doc
		seq := 0
		for range rapid.IntRange(1, 6).Draw(t, "versions") {
			seq += rapid.IntRange(1, 3).Draw(t, "step")
			value := draw(t, "name")
			var err error
			if newest, err = changes.Of(newest, seq, value, nil); err != nil {
				t.Fatal(err)
			}
			want, err := json.Marshal(value)
			if err != nil || string(newest.Whole()) != string(want) {
				t.Fatalf("%s, want %s (%v)", newest.Whole(), want, err)
			}
			versions = append(versions, newest)
		}
		for i, from := range versions {
			for _, on := range versions[i:] {
				state := read(t, on.Whole())
				put(t, state, newest.Since(from.Seq()))
				got, err := json.Marshal(state)
				want, errWant := json.Marshal(read(t, newest.Whole()))
				if err != nil || errWant != nil || string(got) != string(want) {
					t.Fatalf("the change from %d on %d gives %s, want %s", from.Seq(), on.Seq(), got, want)
				}
			}
		}
	})
}

// TestAChangeIsSmall: what did not change is not in it, however long the list.
func TestAChangeIsSmall(t *testing.T) {
	size := func(n int) int {
		value := doc{Lines: make([]line, n)}
		before, err := changes.Of(nil, n, value, nil)
		if err != nil {
			t.Fatal(err)
		}
		value.Lines = append(value.Lines, line{Text: "one more"})
		written := 0
		after, err := changes.Of(before, n+1, value, func(path string, i int) bool {
			if path == "lines" && i < n {
				return true
			}
			written++
			return false
		})
		if err != nil || written != 0 {
			t.Fatal("looked at again:", written, err)
		}
		raw, err := json.Marshal(after.Since(n))
		if err != nil {
			t.Fatal(err)
		}
		return len(raw)
	}
	if few, many := size(100), size(10_000); many > few+10 {
		t.Fatalf("a change in a list of 10,000 has %d bytes, in one of 100 it has %d", many, few)
	}
}

// TestNothingNew: a version that says the same has no changes, and one whose
// version before is not known is new as a whole.
func TestNothingNew(t *testing.T) {
	value := doc{Name: "one", Lines: []line{{Text: "a"}}}
	first, err := changes.Of(nil, 4, value, nil)
	if err != nil {
		t.Fatal(err)
	}
	again, err := changes.Of(first, 5, value, nil)
	if err != nil {
		t.Fatal(err)
	}
	if c := again.Since(4); len(c.Set)+len(c.Gone)+len(c.Lists) != 0 {
		t.Fatalf("%+v", c)
	}
	if c := first.Since(3); len(c.Lists) != 1 || c.Lists["lines"].Length != 1 || c.From != 3 || c.Seq != 4 {
		t.Fatalf("%+v", c)
	}
	if _, err := changes.Of(nil, 1, []int{1}, nil); err == nil {
		t.Fatal("a list was taken for an object")
	}
}
