package message

import (
	"bytes"
	"encoding/json"
	"strconv"
	"strings"
)

// Say is a sentence by its key in the message catalogue, with what goes into
// the gaps. The pure packages stay free of any language. An argument that begins with
// "@" is itself a key of the catalogue ("@call.tripping", "@class.power_play"), or
// a whole sentence as String writes it; a call that the catalogue does not know is
// shown as it was written.
type Say struct {
	Key  string `json:"key"`
	Args Args   `json:"args,omitempty"`
}

// String writes the key, and each argument after a blank as name="text", quoted as
// in JSON. So it stands in a log, and, after an "@", in the gap of another sentence.
func (s Say) String() string {
	out := []byte(s.Key)
	for _, arg := range s.Args {
		text, err := json.Marshal(arg.Text)
		if err != nil {
			panic(err) // a text can always be written
		}
		out = append(append(append(append(out, ' '), arg.Name...), '='), text...)
	}
	return string(out)
}

// Read reads what String wrote.
func Read(text string) (Say, bool) {
	key, rest, more := strings.Cut(text, " ")
	say := Say{Key: key}
	for more {
		name, value, found := strings.Cut(rest, "=")
		quoted, err := strconv.QuotedPrefix(value)
		if !found || err != nil || quoted[0] != '"' || name == "" || strings.Trim(name, letters) != "" {
			return Say{}, false
		}
		filled, err := strconv.Unquote(quoted)
		if err != nil {
			return Say{}, false
		}
		say.Args = append(say.Args, Arg{Name: name, Text: filled})
		if value = value[len(quoted):]; value == "" {
			break
		}
		if rest, more = strings.CutPrefix(value, " "); !more {
			return Say{}, false
		}
	}
	return say, keyed(key)
}

// letters are those of keys and of the names of gaps.
const letters = "abcdefghijklmnopqrstuvwxyz0123456789_"

// keyed reports whether a text has the form of a key.
func keyed(text string) bool {
	first, rest, dotted := strings.Cut(text, ".")
	return dotted && first != "" && rest != "" && strings.Trim(text, letters+".-") == ""
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

// With returns the arguments with one more. It may write behind the end of the
// list, so a list is extended along one line only, and never after it was said.
func (a Args) With(name, text string) Args { return append(a, Arg{name, text}) }

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
		return New("file.no_arguments")
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
