package locale

import (
	"encoding/json"
	"fmt"
	"io/fs"
	"path"
	"strings"
	"sync"

	"whistlestop/game/rules"
)

// Catalogue is the texts of one language by their keys.
type Catalogue map[string]string

// English returns the English catalogue.
var English = sync.OnceValue(func() Catalogue {
	c, err := load(files, "messages/en")
	if err != nil {
		panic(err) // the files are part of the program
	}
	return c
})

// load reads all files of a folder into one catalogue.
func load(files fs.FS, folder string) (Catalogue, error) {
	names, err := fs.Glob(files, path.Join(folder, "*.json"))
	if err != nil {
		return nil, err
	}
	all := Catalogue{}
	for _, name := range names {
		raw, err := fs.ReadFile(files, name)
		if err != nil {
			return nil, err
		}
		var some map[string]string
		if err := json.Unmarshal(raw, &some); err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		for key, text := range some {
			if _, known := all[key]; known {
				return nil, fmt.Errorf("%s: the key %q is in another file already", name, key)
			}
			all[key] = text
		}
	}
	return all, nil
}

// Text returns the text of a key with its gaps filled. What fills a gap may
// itself be a word of the catalogue, written as "@" and its key. A key that is not in the
// catalogue is returned as it is: better a strange word than none.
func (c Catalogue) Text(key string, args rules.Args) string {
	text, known := c[key]
	if !known {
		return key
	}
	if len(args) == 0 {
		return text
	}
	// One pass, so that a gap in what fills a gap stays what it is.
	pairs := make([]string, 0, 2*len(args))
	for _, arg := range args {
		pairs = append(pairs, "{"+arg.Name+"}", c.filling(arg.Text))
	}
	return strings.NewReplacer(pairs...).Replace(text)
}

// filling returns what stands in a gap: the word of a key, or the text itself. A
// call that the catalogue does not know is shown as it was written.
func (c Catalogue) filling(text string) string {
	key, isKey := strings.CutPrefix(text, "@")
	if !isKey {
		return text
	}
	if word := c[key]; word != "" {
		return word
	}
	return strings.TrimPrefix(key, "call.")
}
