package rules

import (
	"bytes"
	"encoding/json"
	"fmt"
)

// Say is a sentence by its key in the message catalogue, with what goes into
// the gaps. The fold stays free of any language. An argument that begins with
// "@" is itself a key of the catalogue ("@call.tripping", "@class.power_play");
// a call that the catalogue does not know is shown as it was written.
type Say struct {
	Key  string `json:"key"`
	Args Args   `json:"args,omitempty"`
}

// Args fill the gaps of a sentence, by name. They are a short list and not a
// map, because a fold writes hundreds of them; in JSON they are an object.
type Args []Arg

// Arg fills one gap.
type Arg struct {
	Name string
	Text string
}

// Pairs makes arguments of names and texts in turn.
func Pairs(pairs ...string) Args {
	a := make(Args, 0, len(pairs)/2)
	for i := 0; i+1 < len(pairs); i += 2 {
		a = append(a, Arg{Name: pairs[i], Text: pairs[i+1]})
	}
	return a
}

// Get returns what fills a gap, or nothing.
func (a Args) Get(name string) string {
	for _, arg := range a {
		if arg.Name == name {
			return arg.Text
		}
	}
	return ""
}

// with returns the arguments with one more. It may write behind the end of the
// list, so a list is extended along one line only, and never after it was said.
func (a Args) with(name, text string) Args { return append(a, Arg{name, text}) }

// MarshalJSON writes an object, in the order of the list.
func (a Args) MarshalJSON() ([]byte, error) {
	out := []byte{'{'}
	for i, arg := range a {
		if i > 0 {
			out = append(out, ',')
		}
		name, err := json.Marshal(arg.Name)
		if err != nil {
			return nil, err
		}
		text, err := json.Marshal(arg.Text)
		if err != nil {
			return nil, err
		}
		out = append(append(append(out, name...), ':'), text...)
	}
	return append(out, '}'), nil
}

// UnmarshalJSON reads an object of strings and keeps its order.
func (a *Args) UnmarshalJSON(raw []byte) error {
	dec := json.NewDecoder(bytes.NewReader(raw))
	if open, err := dec.Token(); err != nil || open != json.Delim('{') {
		return fmt.Errorf("arguments are an object, not %s", raw)
	}
	*a = nil
	for dec.More() {
		name, err := dec.Token()
		if err != nil {
			return err
		}
		var text string
		if err := dec.Decode(&text); err != nil {
			return err
		}
		*a = append(*a, Arg{Name: name.(string), Text: text})
	}
	return nil
}
