package divisionfolder

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"

	"whistlestop/game/rulebook"
	"whistlestop/internal/durable"
)

const (
	ending = ".toml"
	// readMost is the most bytes of a file that are read: far more than any
	// division has.
	readMost = 64 << 10
	// filesMost is how many files are read: far more than any league has.
	filesMost = 200
)

// Folder is a folder of division files. It is safe for use by many goroutines.
type Folder struct {
	path  string
	mutex sync.Mutex
}

// New returns the divisions of a folder, which need not be there yet.
func New(path string) *Folder { return &Folder{path: path} }

// All lists the files by their names. Of two with one id the second is bad.
func (f *Folder) All() ([]rulebook.OwnDivision, error) {
	f.mutex.Lock()
	defer f.mutex.Unlock()
	return f.all()
}

func (f *Folder) all() ([]rulebook.OwnDivision, error) {
	entries, err := os.ReadDir(f.path)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	var files []rulebook.OwnDivision
	seen := map[string]bool{}
	for _, e := range entries {
		if !e.Type().IsRegular() || !strings.HasSuffix(e.Name(), ending) || len(files) >= filesMost {
			continue
		}
		file := f.read(e.Name())
		if file.Bad == nil && seen[file.Division.ID] {
			file.Bad = errors.New(file.Name + ": another file has a division with the id " + file.Division.ID + "; give this one an id of its own")
		}
		seen[file.Division.ID] = true
		files = append(files, file)
	}
	return files, nil
}

func (f *Folder) read(name string) rulebook.OwnDivision {
	path := filepath.Join(f.path, name)
	info, err := os.Stat(path)
	if err == nil && info.Size() > readMost {
		err = errors.New(name + ": the file is too large for a division")
	}
	var text []byte
	if err == nil {
		text, err = os.ReadFile(path)
	}
	if err != nil {
		return rulebook.OwnDivision{Name: name, Bad: err}
	}
	d, err := rulebook.ParseDivision(text, name)
	return rulebook.OwnDivision{Name: name, Division: d, Bad: err}
}

// Keep writes the file of a division, in place of the one with the same id. The
// old file is there until the new one is whole.
func (f *Folder) Keep(d rulebook.Division) error {
	text, err := Text(d)
	if err != nil {
		return err
	}
	f.mutex.Lock()
	defer f.mutex.Unlock()
	if err := durable.MakeFolder(f.path); err != nil {
		return err
	}
	files, err := f.all()
	if err != nil {
		return err
	}
	name := d.ID + ending
	for _, file := range files {
		if file.Bad == nil && file.Division.ID == d.ID {
			name = file.Name
		}
	}
	return durable.Write(durable.System(), filepath.Join(f.path, name), text)
}
