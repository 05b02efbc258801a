package privatefile

import (
	"errors"
	"fmt"
	"io/fs"

	"whistlestop/internal/folder/durable"
)

// most is the largest file that Read takes, in bytes: what is kept here is
// small, and something else in its place must not fill the memory.
const most = 1 << 20

// File is one file. Write must not be called by several goroutines at once.
type File struct {
	path string
	disk durable.Disk
}

// At returns the file with the path. It need not be there.
func At(path string) File { return On(durable.System(), path) }

// On returns the file with the path on a disk.
func On(disk durable.Disk, path string) File { return File{path: path, disk: durable.Lenient(disk)} }

// Read returns what the file holds, or nil when it is not there.
func (f File) Read() ([]byte, error) {
	text, err := f.disk.Read(f.path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, nil
	case err != nil:
		return nil, err
	case len(text) > most:
		return nil, fmt.Errorf("%s is not a file of this program", f.path)
	}
	return text, nil
}

// Write replaces the file. After an error the old one is still there, whole.
func (f File) Write(text []byte) error { return durable.Write(f.disk, f.path, text) }
