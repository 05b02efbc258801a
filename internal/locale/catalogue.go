package locale

import (
	"errors"
	"io/fs"
	"maps"
	"slices"
	"strconv"
	"strings"
	"sync"

	"whistlestop/game/message"
)

// Catalogue is the texts of one language by their keys.
type Catalogue struct {
	language string
	texts    map[string]string
	counted  map[string]counted
}

// counted are the texts of a key whose form depends on a number: by the gap that
// has the number, and by the plural category that CLDR gives it in the language.
type counted struct {
	gap   string
	forms map[string]string
}

// folder has a folder for each language.
const folder = "messages"

// english is the language that everything is written in first, and what is spoken
// where nobody asks for another one.
const english = "en"

// English returns the English catalogue.
var English = sync.OnceValue(func() *Catalogue {
	c, err := load(files, english)
	if err != nil {
		panic(err) // the files are part of the program
	}
	return c
})

// languages lists the folders of a file tree.
func languages(files fs.FS) (list []string) {
	folders, err := fs.ReadDir(files, folder)
	if err != nil {
		return nil
	}
	for _, one := range folders {
		list = append(list, one.Name())
	}
	return list
}

// errTwice and errForm are faults of a catalogue.
var (
	errTwice = errors.New("the key is there already")
	errForm  = errors.New("a form is written key#gap=category, with one gap for all forms of a key")
)

// take adds a text, which may be one form of a key: "seat.waiting#count=one".
func (c *Catalogue) take(key, text string) error {
	name, form, isForm := strings.Cut(key, "#")
	if !isForm {
		if _, known := c.texts[key]; known {
			return errTwice
		}
		c.texts[key] = text
		return nil
	}
	gap, category, found := strings.Cut(form, "=")
	all, more := c.counted[name]
	if !found || more && all.gap != gap {
		return errForm
	}
	if !more {
		all = counted{gap: gap, forms: map[string]string{}}
		c.counted[name] = all
	}
	if _, known := all.forms[category]; known {
		return errTwice
	}
	all.forms[category] = text
	return nil
}

// Language is the language of the catalogue, as a tag of BCP 47.
func (c *Catalogue) Language() string { return c.language }

// Has reports whether there is a text of the key.
func (c *Catalogue) Has(key string) bool { return c.texts[key] != "" }

// Keys lists all keys, in their order.
func (c *Catalogue) Keys() []string { return slices.Sorted(maps.Keys(c.texts)) }

// Say puts a sentence into words.
func (c *Catalogue) Say(say message.Say) string { return c.Text(say.Key, say.Args) }

// Error puts what went wrong into words. What no package of ours made says itself.
func (c *Catalogue) Error(err error) string { return c.Say(message.Of(err)) }

// Text returns the text of a key with its gaps filled. What fills a gap may
// itself be a word or a sentence of the catalogue, written as "@" and its key. A key
// that is not in the catalogue is returned as it is: better a strange word than none.
func (c *Catalogue) Text(key string, args message.Args) string {
	text, known := c.texts[key]
	if !known {
		return key
	}
	if forms, several := c.counted[key]; several {
		if n, err := strconv.ParseInt(args.Get(forms.gap), 10, 32); err == nil {
			if form := forms.forms[category(c.language, int(n))]; form != "" {
				text = form
			}
		}
	}
	// One pass, so that a gap in what fills a gap stays what it is.
	var out strings.Builder
	for {
		before, rest, found := strings.Cut(text, "{")
		out.WriteString(before)
		if !found {
			return out.String()
		}
		name, after, closed := strings.Cut(rest, "}")
		value, given := filled(args, name)
		if !closed || !given {
			out.WriteByte('{')
			text = rest
			continue
		}
		out.WriteString(c.filling(value, after))
		text = after
	}
}

func filled(args message.Args, name string) (string, bool) {
	for _, arg := range args {
		if arg.Name == name {
			return arg.Text, true
		}
	}
	return "", false
}

// filling returns what stands in a gap: the word or the sentence of a key, or the
// text itself. A call that the catalogue does not know is shown as it was written.
// A sentence within another one leaves the full stop to it.
func (c *Catalogue) filling(text, after string) string {
	key, isKey := strings.CutPrefix(text, "@")
	if !isKey {
		return text
	}
	if word := c.texts[key]; word != "" {
		return inside(word, after)
	}
	if say, read := message.Read(key); read && c.Has(say.Key) {
		return inside(c.Say(say), after)
	}
	return strings.TrimPrefix(key, "call.")
}

func inside(sentence, after string) string {
	if after != "" && strings.Contains(".,;:)", after[:1]) {
		return strings.TrimSuffix(sentence, ".")
	}
	return sentence
}
