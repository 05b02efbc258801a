package cardfolder

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"

	"whistlestop/game/card"
	"whistlestop/internal/durable"
)

const (
	ending = ".toml"
	// readMost is the most bytes of a file that are read: one more than any card
	// has, so that a longer one is refused as such.
	readMost = 64 << 10
)

// Folder is a folder of card files. It is safe for use by many goroutines.
type Folder struct {
	path  string
	more  []card.File
	mutex sync.Mutex
}

// New returns the cards of a folder, which need not be there yet, and more that
// come with the program.
func New(path string, more ...card.File) *Folder { return &Folder{path: path, more: more} }

// All lists the cards by the names of their files, those of the program last. A
// card of the folder takes the place of one of the program with the same id. A
// file that cannot be read or used is in the list and says why.
func (f *Folder) All() ([]card.File, error) {
	f.mutex.Lock()
	defer f.mutex.Unlock()
	entries, err := os.ReadDir(f.path)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	var files []card.File
	seen := map[string]bool{}
	for _, e := range entries {
		if !e.Type().IsRegular() || !strings.HasSuffix(e.Name(), ending) {
			continue
		}
		files = append(files, f.read(e.Name(), seen))
	}
	for _, file := range f.more {
		if !seen[file.Card.ID] {
			files = append(files, file)
		}
	}
	return files, nil
}

func (f *Folder) read(name string, seen map[string]bool) card.File {
	info, err := os.Stat(filepath.Join(f.path, name))
	if err == nil && info.Size() > readMost {
		err = errors.New(name + ": the file is too large for a rink card")
	}
	var text []byte
	if err == nil {
		text, err = os.ReadFile(filepath.Join(f.path, name))
	}
	if err != nil {
		return card.File{Name: name, Bad: err}
	}
	file := card.NewFile(name, text)
	switch {
	case file.Bad != nil:
	case seen[file.Card.ID]:
		file.Bad = errors.New(name + ": another file has a card with the id " + file.Card.ID + "; give this one an id of its own")
	default:
		seen[file.Card.ID] = true
	}
	return file
}

// Keep writes a card that was checked to the folder, in place of the one with
// the same id. The old file is there until the new one is whole.
func (f *Folder) Keep(id string, text []byte) error {
	f.mutex.Lock()
	defer f.mutex.Unlock()
	if err := durable.MakeFolder(f.path); err != nil {
		return err
	}
	name, err := f.nameOf(id)
	if err != nil {
		return err
	}
	return durable.Write(durable.System(), filepath.Join(f.path, name), text)
}

// nameOf is the file that has the card already, whatever it is called, or the
// name of a new one.
func (f *Folder) nameOf(id string) (string, error) {
	entries, err := os.ReadDir(f.path)
	if err != nil {
		return "", err
	}
	seen := map[string]bool{}
	for _, e := range entries {
		if !e.Type().IsRegular() || !strings.HasSuffix(e.Name(), ending) {
			continue
		}
		if file := f.read(e.Name(), seen); file.Bad == nil && file.Card.ID == id {
			return e.Name(), nil
		}
	}
	return id + ending, nil
}
