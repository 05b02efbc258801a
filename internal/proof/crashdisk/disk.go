package crashdisk

import (
	"bytes"
	"errors"
	"io/fs"
	"maps"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"sync"

	"whistlestop/internal/folder/durable"
)

// ErrFails is the failure of a step.
var ErrFails = errors.New("input/output error")

// Trouble is what happens at a step.
type Trouble int

// What can happen.
const (
	None     Trouble = iota
	Once             // the step fails, the next ones do not
	ForEver          // the step fails, and all after it
	PowerCut         // the step is half done, and nothing is after it
)

// Disk is a disk in memory. It is safe for use by many goroutines.
type Disk struct {
	mutex   sync.Mutex
	folders map[string]bool
	names   map[string]*content // as the system shows them
	safe    map[string]*content // the names that survive a power cut
	steps   int
	at      int
	trouble Trouble
}

// content is a file, which may have several names over time.
type content struct {
	now  []byte
	safe []byte // what was synced
}

// New returns an empty disk with the folders.
func New(folders ...string) *Disk {
	d := &Disk{folders: map[string]bool{}, names: map[string]*content{}, safe: map[string]*content{}}
	for _, f := range folders {
		d.folders[f] = true
	}
	return d
}

// FailAt lets the step of a number, from 1, go wrong. Steps count from now on.
func (d *Disk) FailAt(step int, trouble Trouble) {
	d.mutex.Lock()
	defer d.mutex.Unlock()
	d.steps, d.at, d.trouble = 0, step, trouble
}

// Steps returns how many steps were taken since FailAt, or since the disk is new.
func (d *Disk) Steps() int {
	d.mutex.Lock()
	defer d.mutex.Unlock()
	return d.steps
}

// Pull takes a folder away, as one pulls a stick out; Put gives it back with
// what is safe on it.
func (d *Disk) Pull(folder string) {
	d.mutex.Lock()
	defer d.mutex.Unlock()
	d.folders[folder] = false
}

// Put gives a folder back that was pulled out.
func (d *Disk) Put(folder string) {
	d.mutex.Lock()
	defer d.mutex.Unlock()
	d.folders[folder] = true
	d.names = map[string]*content{}
	for name, c := range d.safe {
		c.now = bytes.Clone(c.safe)
		d.names[name] = c
	}
}

// Restarted returns the disk as it may be after a power cut: of what was not
// synced, names and the beginnings of contents are kept or lost as random says.
func (d *Disk) Restarted(random *rand.Rand) *Disk {
	d.mutex.Lock()
	defer d.mutex.Unlock()
	after := New()
	after.folders = maps.Clone(d.folders)
	kept := maps.Clone(d.safe)
	for _, name := range slices.Sorted(maps.Keys(d.names)) {
		if random.IntN(2) == 0 {
			kept[name] = d.names[name]
		}
	}
	for _, name := range slices.Sorted(maps.Keys(kept)) {
		c := kept[name]
		left := bytes.Clone(c.safe)
		if extra := len(c.now) - len(left); extra > 0 && random.IntN(2) == 0 {
			left = append(left, c.now[len(left):len(left)+random.IntN(extra+1)]...)
		}
		one := &content{now: left, safe: bytes.Clone(left)}
		after.names[name], after.safe[name] = one, one
	}
	return after
}

// step counts a step and says whether it goes wrong.
func (d *Disk) step(folder string) (half bool, err error) {
	d.steps++
	if !d.folders[folder] {
		return false, &fs.PathError{Op: "open", Path: folder, Err: fs.ErrNotExist}
	}
	switch {
	case d.trouble == None || d.steps < d.at:
		return false, nil
	case d.steps == d.at:
		return true, ErrFails
	case d.trouble == Once:
		return false, nil
	}
	return false, ErrFails
}

// Read returns the content of a file.
func (d *Disk) Read(path string) ([]byte, error) {
	d.mutex.Lock()
	defer d.mutex.Unlock()
	c := d.names[path]
	if c == nil || !d.folders[filepath.Dir(path)] {
		return nil, &fs.PathError{Op: "open", Path: path, Err: fs.ErrNotExist}
	}
	return bytes.Clone(c.now), nil
}

// Names lists the names in a folder.
func (d *Disk) Names(folder string) (names []string, err error) {
	d.mutex.Lock()
	defer d.mutex.Unlock()
	if !d.folders[folder] {
		return nil, &fs.PathError{Op: "open", Path: folder, Err: fs.ErrNotExist}
	}
	for path := range d.names {
		if filepath.Dir(path) == folder {
			names = append(names, filepath.Base(path))
		}
	}
	slices.Sort(names)
	return names, nil
}

// Create makes a file, or empties the one that is there.
func (d *Disk) Create(path string) (durable.File, error) {
	d.mutex.Lock()
	defer d.mutex.Unlock()
	if _, err := d.step(filepath.Dir(path)); err != nil {
		return nil, err
	}
	d.names[path] = &content{}
	return &file{d, path, d.names[path]}, nil
}

// Extend opens a file of exactly size bytes.
func (d *Disk) Extend(path string, size int64) (durable.File, error) {
	d.mutex.Lock()
	defer d.mutex.Unlock()
	if _, err := d.step(filepath.Dir(path)); err != nil {
		return nil, err
	}
	c := d.names[path]
	switch {
	case c == nil && size > 0:
		return nil, &fs.PathError{Op: "open", Path: path, Err: fs.ErrNotExist}
	case c == nil:
		c = &content{}
		d.names[path] = c
	case int64(len(c.now)) != size:
		return nil, durable.ErrChanged
	}
	return &file{d, path, c}, nil
}

// Rename gives a file another name, at once or not at all.
func (d *Disk) Rename(from, to string) error {
	d.mutex.Lock()
	defer d.mutex.Unlock()
	if _, err := d.step(filepath.Dir(to)); err != nil {
		return err
	}
	d.names[to] = d.names[from]
	delete(d.names, from)
	return nil
}

// Remove takes a name away.
func (d *Disk) Remove(path string) error {
	d.mutex.Lock()
	defer d.mutex.Unlock()
	if _, err := d.step(filepath.Dir(path)); err != nil {
		return err
	}
	delete(d.names, path)
	return nil
}

// SyncFolder makes the names in a folder safe.
func (d *Disk) SyncFolder(folder string) error {
	d.mutex.Lock()
	defer d.mutex.Unlock()
	if _, err := d.step(folder); err != nil {
		return err
	}
	maps.DeleteFunc(d.safe, func(path string, _ *content) bool { return filepath.Dir(path) == folder })
	for path, c := range d.names {
		if filepath.Dir(path) == folder {
			d.safe[path] = c
		}
	}
	return nil
}

// Device returns a number for each folder.
func (d *Disk) Device(folder string) (uint64, error) {
	d.mutex.Lock()
	defer d.mutex.Unlock()
	if !d.folders[folder] {
		return 0, &fs.PathError{Op: "open", Path: folder, Err: fs.ErrNotExist}
	}
	return uint64(len(folder)), nil
}

type file struct {
	disk *Disk
	path string
	*content
}

func (f *file) Write(p []byte) (int, error) {
	f.disk.mutex.Lock()
	defer f.disk.mutex.Unlock()
	half, err := f.disk.step(filepath.Dir(f.path))
	if half {
		f.now = append(f.now, p[:len(p)/2]...)
		return len(p) / 2, err
	}
	if err != nil {
		return 0, err
	}
	f.now = append(f.now, p...)
	return len(p), nil
}

func (f *file) Sync() error {
	f.disk.mutex.Lock()
	defer f.disk.mutex.Unlock()
	if _, err := f.disk.step(filepath.Dir(f.path)); err != nil {
		return err
	}
	f.safe = bytes.Clone(f.now)
	return nil
}

func (f *file) Close() error { return nil }
