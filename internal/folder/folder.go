package folder

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"

	"whistlestop/game/message"
	"whistlestop/internal/folder/durable"
)

const (
	// Ending is that of every file of data.
	Ending = ".toml"
	// ReadMost is the most bytes of a file that are read: more than anything has
	// that people write by hand, so that a longer one is refused as such.
	ReadMost = 64 << 10
)

// Kind is what the files of a folder hold.
type Kind[T any] struct {
	// Large and Same are the keys of what is said where a file is too large for what it
	// should hold, and where a second one has the same id.
	Large, Same string
	// FilesMost is how many files are read; 0: all.
	FilesMost int
	// Most is the most bytes of a file that are read; 0: ReadMost.
	Most int64
	// Read makes what a file holds of its text, or of why it cannot be read.
	Read func(name string, text []byte, unread error) T
	// Spoil says of what a file holds why it cannot be used.
	Spoil func(item T, why error) T
	// ID is what no two files may share; empty of what cannot be used.
	ID func(item T) string
}

// Folder is a folder of data files. It is safe for use by many goroutines.
type Folder[T any] struct {
	path  string
	kind  Kind[T]
	mutex sync.Mutex
}

// Of returns the data files of a folder, which need not be there yet.
func Of[T any](path string, kind Kind[T]) *Folder[T] { return &Folder[T]{path: path, kind: kind} }

// All lists what the files hold, by their names. A file that cannot be read or
// used is in the list and says why; of two with one id it is the second.
func (f *Folder[T]) All() ([]T, error) {
	f.mutex.Lock()
	defer f.mutex.Unlock()
	files, err := f.all()
	if err != nil {
		return nil, err
	}
	var items []T
	for _, file := range files {
		items = append(items, file.item)
	}
	return items, nil
}

type file[T any] struct {
	name, id string
	item     T
}

func (f *Folder[T]) all() ([]file[T], error) {
	entries, err := os.ReadDir(f.path)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	var files []file[T]
	seen := map[string]bool{}
	for _, e := range entries {
		if !e.Type().IsRegular() || !strings.HasSuffix(e.Name(), Ending) || f.kind.FilesMost > 0 && len(files) >= f.kind.FilesMost {
			continue
		}
		one := file[T]{name: e.Name(), item: f.read(e.Name())}
		if one.id = f.kind.ID(one.item); one.id != "" && seen[one.id] {
			one.item = f.kind.Spoil(one.item, message.In(one.name, message.New(f.kind.Same, "id", one.id)))
			one.id = ""
		}
		seen[one.id] = true
		files = append(files, one)
	}
	return files, nil
}

func (f *Folder[T]) read(name string) T {
	path := filepath.Join(f.path, name)
	info, err := os.Stat(path)
	most := f.kind.Most
	if most == 0 {
		most = ReadMost
	}
	if err == nil && info.Size() > most {
		err = message.In(name, message.New(f.kind.Large))
	}
	var text []byte
	if err == nil {
		text, err = os.ReadFile(path)
	}
	return f.kind.Read(name, text, err)
}

// Keep writes a text that was checked to the folder, in place of the file with the
// same id, whatever that is called. The old file is there until the new one is
// whole.
func (f *Folder[T]) Keep(id string, text []byte) error {
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

// NameOf is the name of the file with an id, or the one that Keep would give it.
func (f *Folder[T]) NameOf(id string) (string, error) {
	f.mutex.Lock()
	defer f.mutex.Unlock()
	return f.nameOf(id)
}

func (f *Folder[T]) nameOf(id string) (string, error) {
	files, err := f.all()
	if err != nil {
		return "", err
	}
	for _, file := range files {
		if file.id == id {
			return file.name, nil
		}
	}
	return id + Ending, nil
}
