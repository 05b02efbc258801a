package privatefile

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// most is the largest file that Read takes, in bytes: what is kept here is
// small, and something else in its place must not fill the memory.
const most = 1 << 20

// File is one file. Write must not be called by several goroutines at once.
type File struct{ path string }

// At returns the file with the path. It need not be there.
func At(path string) File { return File{path: path} }

// Read returns what the file holds, or nil when it is not there.
func (f File) Read() ([]byte, error) {
	info, err := os.Stat(f.path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() || info.Size() > most {
		return nil, fmt.Errorf("%s is not a file of this program", f.path)
	}
	return os.ReadFile(f.path)
}

// Write replaces the file. After an error the old one is still there, whole.
func (f File) Write(text []byte) error {
	folder := filepath.Dir(f.path)
	temporary, err := os.CreateTemp(folder, filepath.Base(f.path)+".*.new") // mode 0600
	if err != nil {
		return err
	}
	_, err = temporary.Write(text)
	err = errors.Join(err, temporary.Sync(), temporary.Close())
	if err == nil {
		err = os.Rename(temporary.Name(), f.path)
	}
	if err != nil {
		return errors.Join(err, os.Remove(temporary.Name()))
	}
	return syncFolder(folder)
}

// syncFolder makes the new name survive a power cut.
func syncFolder(path string) error {
	folder, err := os.Open(path)
	if err != nil {
		return err
	}
	err = folder.Sync()
	if errors.Is(err, errors.ErrUnsupported) || errors.Is(err, fs.ErrInvalid) || errors.Is(err, fs.ErrPermission) {
		err = nil // some systems keep folders safe by themselves and cannot sync them
	}
	return errors.Join(err, folder.Close())
}
