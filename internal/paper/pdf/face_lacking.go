package pdf

import (
	"bytes"
	"compress/gzip"
	"io"
	"slices"
	"sync"

	"golang.org/x/text/unicode/norm"
)

// The faces by the names that they have in a document.
const (
	usual  = "Barlow Condensed"
	second = "Roboto Condensed"
	third  = "Droid Sans Fallback"
)

// taken are files of faces that came after the start, by their names.
var taken sync.Map

// Lacking returns the names of the files without which letters of a text stand as
// question marks, and with which they do not; each once. Give their content to Take.
// A program that is not built for a browser lacks none.
func Lacking(text string) (names []string) {
	for _, r := range norm.NFC.String(text) {
		if i := drawing(r); i >= 0 && !faces[i].here() {
			for _, name := range faces[i].lacks {
				if _, is := taken.Load(name); !is && !slices.Contains(names, name) {
					names = append(names, name)
				}
			}
		}
	}
	return names
}

// Take takes the content of a file that was lacking. Documents have its letters from
// then on.
func Take(name string, content []byte) { taken.Store(name, content) }

// here reports whether the face can be written with.
func (f *typeface) here() bool {
	return !slices.ContainsFunc(f.lacks, func(name string) bool {
		_, is := taken.Load(name)
		return !is
	})
}

// unpacked returns how a large face of one style is had: unpacked for the first
// document that needs it.
func unpacked(packed func() []byte) func(string) []byte {
	once := sync.OnceValue(func() []byte {
		in, err := gzip.NewReader(bytes.NewReader(packed()))
		if err != nil {
			panic(err) // it is part of the program, or of its site
		}
		text, err := io.ReadAll(in)
		if err != nil {
			panic(err)
		}
		return text
	})
	return func(string) []byte { return once() }
}
