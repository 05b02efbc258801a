package durable

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
)

// ErrChanged is returned by Extend when a file is not as long as it was.
var ErrChanged = errors.New("the file was changed by something else")

// File is a file that is written.
type File interface {
	io.Writer
	Sync() error
	Close() error
}

// Disk is what is asked of a file system. System is the computer's own; tests
// have one that fails and crashes.
type Disk interface {
	// Read returns the content of a file, or fs.ErrNotExist.
	Read(path string) ([]byte, error)
	// Names lists the names in a folder, sorted.
	Names(folder string) ([]string, error)
	// Create makes a file, or empties the one that is there.
	Create(path string) (File, error)
	// Extend opens a file of exactly size bytes to write at its end. It makes
	// the file if size is 0.
	Extend(path string, size int64) (File, error)
	Rename(from, to string) error
	Remove(path string) error
	// SyncFolder makes names in a folder safe: new ones, and those renamed.
	SyncFolder(folder string) error
	// Device returns a number that is the same for all folders of one file
	// system, and 0 where the system does not tell.
	Device(folder string) (uint64, error)
}

// New is the ending of a file that is being written. One that is left over after
// a crash means nothing.
const New = ".new"

// Write puts content into a file in one step: after a crash the file is as it
// was before, or whole. When Write returns nil the new content is safe.
func Write(d Disk, path string, content []byte) error {
	file, err := d.Create(path + New)
	if err != nil {
		return err
	}
	if err := fill(file, content); err != nil {
		return errors.Join(err, d.Remove(path+New))
	}
	if err := d.Rename(path+New, path); err != nil {
		return errors.Join(err, d.Remove(path+New))
	}
	return d.SyncFolder(filepath.Dir(path))
}

// Extend writes content at the end of a file of exactly size bytes, which it
// makes if size is 0. When it returns nil the content is safe. After an error
// some of it may be there.
func Extend(d Disk, path string, size int64, content []byte) error {
	file, err := d.Extend(path, size)
	if err != nil {
		return err
	}
	if err := fill(file, content); err != nil || size > 0 {
		return err
	}
	return d.SyncFolder(filepath.Dir(path))
}

func fill(file File, content []byte) error {
	_, err := file.Write(content)
	if err == nil {
		err = file.Sync()
	}
	return errors.Join(err, file.Close())
}

// MakeFolder makes a folder with those above it, and makes their names safe.
// Only the user of this program can read it.
func MakeFolder(path string) error {
	path, err := filepath.Abs(path)
	if err != nil {
		return err
	}
	above := filepath.Dir(path)
	info, err := os.Stat(path)
	switch {
	case err == nil && info.IsDir():
		return nil
	case err == nil:
		return &fs.PathError{Op: "mkdir", Path: path, Err: errors.New("there is a file of that name")}
	case !errors.Is(err, fs.ErrNotExist) || above == path:
		return err
	}
	if err := MakeFolder(above); err != nil {
		return err
	}
	if err := os.Mkdir(path, 0o700); err != nil && !errors.Is(err, fs.ErrExist) {
		return err
	}
	return System().SyncFolder(above)
}

// system is the computer's own file system; mode is that of the files it makes.
type system struct{ mode fs.FileMode }

// System returns the computer's own file system. Only the user of this program
// can read what is written.
func System() Disk { return system{0o600} }

// Public is the same for what is meant for others, such as a web host: everybody
// can read it.
func Public() Disk { return Lenient(system{0o644}) }

// Lenient is a disk of which some systems keep the folders safe by themselves and
// cannot sync them.
func Lenient(d Disk) Disk { return lenient{d} }

type lenient struct{ Disk }

// SyncFolder makes names in a folder safe.
func (d lenient) SyncFolder(folder string) error {
	err := d.Disk.SyncFolder(folder)
	if errors.Is(err, errors.ErrUnsupported) || errors.Is(err, fs.ErrInvalid) || errors.Is(err, fs.ErrPermission) {
		return nil
	}
	return err
}

// ReadMost is the most bytes of a file that System reads: a stick passes through
// many hands, and a file on it must not fill the memory.
const ReadMost = 16 << 20

// ErrTooLarge is returned by Read for a file beyond ReadMost, and for what is no
// plain file: a device that never ends, a pipe that nobody writes to.
var ErrTooLarge = errors.New("it is larger than any game, or no plain file")

func (system) Read(path string) ([]byte, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() || info.Size() > ReadMost {
		return nil, &fs.PathError{Op: "read", Path: path, Err: ErrTooLarge}
	}
	return os.ReadFile(path)
}

func (system) Names(folder string) ([]string, error) {
	entries, err := os.ReadDir(folder)
	if err != nil {
		return nil, err
	}
	names := make([]string, len(entries))
	for i, e := range entries {
		names[i] = e.Name()
	}
	return names, nil
}

func (s system) Create(path string) (File, error) {
	return os.OpenFile(path, os.O_CREATE|os.O_TRUNC|os.O_WRONLY, s.mode)
}

func (s system) Extend(path string, size int64) (File, error) {
	how := os.O_WRONLY | os.O_APPEND
	if size == 0 {
		how |= os.O_CREATE
	}
	file, err := os.OpenFile(path, how, s.mode)
	if err != nil {
		return nil, err
	}
	info, err := file.Stat()
	if err == nil && info.Size() != size {
		err = ErrChanged
	}
	if err != nil {
		return nil, errors.Join(err, file.Close())
	}
	return file, nil
}

func (system) Rename(from, to string) error { return os.Rename(from, to) }

func (system) Remove(path string) error { return os.Remove(path) }

func (system) SyncFolder(folder string) error {
	if runtime.GOOS == "windows" {
		return nil // names are part of its journal; a folder cannot be opened to sync it
	}
	opened, err := os.Open(folder)
	if err != nil {
		return err
	}
	return errors.Join(opened.Sync(), opened.Close())
}

func (system) Device(folder string) (uint64, error) {
	info, err := os.Stat(folder)
	if err != nil {
		return 0, err
	}
	if !info.IsDir() {
		return 0, &fs.PathError{Op: "open", Path: folder, Err: errors.New("it is not a folder")}
	}
	return device(info), nil
}
