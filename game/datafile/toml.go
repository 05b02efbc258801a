package datafile

import (
	"bytes"
	"errors"
	"fmt"
	"regexp"
	"strings"

	"github.com/BurntSushi/toml"
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
		return fmt.Errorf("%s: the file has more than %d kB; shorten it", name, Most>>10)
	}
	for line := range bytes.SplitSeq(text, []byte("\n")) {
		// Long keys and deep lists cost the library the square of their length.
		if len(line) > lineMost {
			return fmt.Errorf("%s: a line has more than %d characters; divide it", name, lineMost)
		}
	}
	meta, err := toml.NewDecoder(bytes.NewReader(text)).Decode(into)
	if err != nil {
		var parse toml.ParseError
		if errors.As(err, &parse) {
			return fmt.Errorf("%s, line %d: %s", name, parse.Position.Line, parse.Message)
		}
		return fmt.Errorf("%s%s", name, plainWords(strings.TrimPrefix(err.Error(), "toml: ")))
	}
	if extra := meta.Undecoded(); len(extra) > 0 {
		key := extra[0].String()
		return fmt.Errorf("%s, line %d: there is no setting %q; take it out or mend its spelling",
			name, LineOf(text, extra[0][len(extra[0])-1]), key)
	}
	return nil
}

// wrongType is how the TOML library says that a value is of another type.
var wrongType = regexp.MustCompile(
	`^line (\d+) \(last key "(.*)"\): incompatible types: TOML value has type (.+); destination has type (\w+)$`)

// typeWords says the types of TOML and of Go as a coordinator writes them.
var typeWords = map[string]string{
	"string": "text in quotes", "bool": "true or false", "boolean": "true or false",
	"int64": "a whole number", "integer": "a whole number", "float64": "a number with a point",
	"[]any": "a list in brackets", "slice": "a list in brackets",
	"map[string]any": "a table of its own", "map": "a table of its own",
}

// plainWords turns what the library says about a wrong type into the form of the
// other messages: the line, the setting, and what to write instead.
func plainWords(message string) string {
	found := wrongType.FindStringSubmatch(message)
	if found == nil {
		return ": " + message
	}
	say := func(word string) string {
		if plain := typeWords[word]; plain != "" {
			return plain
		}
		return word
	}
	return fmt.Sprintf(", line %s: %s is %s; write %s instead", found[1], found[2], say(found[3]), say(found[4]))
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
