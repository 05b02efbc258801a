package datafile

import (
	"bytes"
	"errors"
	"strconv"
	"strings"

	"github.com/BurntSushi/toml"

	"whistlestop/game/message"
)

// Most is the most bytes that a file of settings may have. A division or a rink
// card has a tenth of it.
const Most = 64 << 10

// lineMost is the longest line of such a file, in bytes.
const lineMost = 2000

// Decode reads TOML strictly: a setting that is not known is an error. What the
// value holds already stays where the file says nothing. Its errors name the
// file, the line and the reason, and say what to do.
func Decode(text []byte, name string, into any) error {
	if len(text) > Most {
		return message.In(name, message.New("file.large", "most", Most>>10))
	}
	for line := range bytes.SplitSeq(text, []byte("\n")) {
		// Long keys and deep lists cost the library the square of their length.
		if len(line) > lineMost {
			return message.In(name, message.New("file.long_line", "most", lineMost))
		}
	}
	meta, err := toml.NewDecoder(bytes.NewReader(text)).Decode(into)
	if err != nil {
		return refused(text, name, err)
	}
	if extra := meta.Undecoded(); len(extra) > 0 {
		key := extra[0].String()
		return message.At(name, LineOf(text, extra[0][len(extra[0])-1]), message.New("file.setting", "setting", message.Plain(key)))
	}
	return nil
}

// refused turns what the library says into the form of the other messages.
func refused(text []byte, name string, err error) error {
	var parse toml.ParseError
	if errors.As(err, &parse) {
		// It passes on what a value said of itself as text.
		if said, ours := message.Read(parse.Message); ours {
			return message.At(name, saidOn(text, parse.Position.Line, said), &message.Error{Say: said})
		}
		return message.At(name, parse.Position.Line, errors.New(parse.Message))
	}
	plain := strings.TrimPrefix(err.Error(), "toml: ")
	wrong, found := readWrongType(plain)
	if !found {
		return message.In(name, errors.New(plain))
	}
	return message.At(name, wrong.line,
		message.New("file.type", "setting", wrong.key, "is", typeWord(wrong.is), "wanted", typeWord(wrong.wanted)))
}

// saidOn is the line of what a value said of itself. Of a setting that stands in
// several tables of a list the library knows only the last line; the value, which is in
// the sentence, tells which one it was.
func saidOn(text []byte, line int, said message.Say) int {
	value := []byte(said.Args.Get("text"))
	lines := bytes.Split(text, []byte("\n"))
	if len(value) == 0 || line >= 1 && line <= len(lines) && bytes.Contains(lines[line-1], value) {
		return line
	}
	for i, one := range lines {
		if bytes.Contains(one, value) {
			return i + 1
		}
	}
	return line
}

// wrongType is what the TOML library says of a value that is of another type.
type wrongType struct {
	line            int
	key, is, wanted string
}

// readWrongType takes such a sentence of the library apart. No pattern does it: the
// engine of practice, which reads cards and divisions, would be a twentieth larger
// with a package of patterns.
func readWrongType(text string) (w wrongType, found bool) {
	rest, begins := strings.CutPrefix(text, "line ")
	number, rest, keyed := strings.Cut(rest, ` (last key "`)
	key, types, typed := strings.Cut(rest, `"): incompatible types: TOML value has type `)
	is, wanted, both := strings.Cut(types, "; destination has type ")
	line, err := strconv.Atoi(number)
	return wrongType{line, key, is, wanted}, begins && keyed && typed && both && err == nil
}

// IsID reports whether a text can be the id of a file's subject: small letters,
// digits and hyphens, a letter or digit first, and so many bytes at most. It is then
// usable as the name of a file.
func IsID(text string, most int) bool {
	for i := range len(text) {
		c := text[i]
		if (c < 'a' || c > 'z') && (c < '0' || c > '9') && (c != '-' || i == 0) {
			return false
		}
	}
	return text != "" && len(text) <= most
}

// typeWords says the types of TOML and of Go as a coordinator writes them.
var typeWords = map[string]string{
	"string": "@file.type.string", "bool": "@file.type.bool", "boolean": "@file.type.bool",
	"int64": "@file.type.integer", "integer": "@file.type.integer", "float64": "@file.type.float",
	"[]any": "@file.type.list", "slice": "@file.type.list",
	"map[string]any": "@file.type.table", "map": "@file.type.table",
}

func typeWord(word string) string {
	if plain := typeWords[word]; plain != "" {
		return plain
	}
	return word
}

// LineOf finds the line on which a key or a table is written, or 1. A longer key
// that begins alike ("lead_at_most" for "lead") is another one.
func LineOf(text []byte, key string) int {
	for i, line := range strings.Split(string(text), "\n") {
		line = strings.TrimLeft(strings.TrimSpace(line), "[")
		rest, found := strings.CutPrefix(line, key)
		if found && (rest == "" || strings.ContainsRune(" \t=.]", rune(rest[0]))) {
			return i + 1
		}
	}
	return 1
}
