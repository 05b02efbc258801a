package faults

import (
	"bytes"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
)

// Trace is everything that was asked of the disk, in order. It is safe for use
// by the goroutines of the program that is watched.
type Trace struct {
	mutex sync.Mutex
	start Disk
	calls []Call

	opened map[string]bool // files that are there, of those made since the start
}

// Record watches a folder until the test ends and writes down every call that
// changes it.
func Record(t testing.TB, folder string) *Trace {
	t.Helper()
	trace := &Trace{start: Snapshot(t, folder), opened: map[string]bool{}}
	Watch(t, folder, func(c Call) Verdict {
		trace.mutex.Lock()
		defer trace.mutex.Unlock()
		_, known := trace.start[c.File]
		if c.Kind == Open && !known && !trace.opened[c.File] {
			// The program may make an empty file before SQLite opens it.
			c.Made = true
		}
		if c.Changes() {
			trace.opened[c.File] = c.Kind != Delete
			c.Bytes = bytes.Clone(c.Bytes)
			trace.calls = append(trace.calls, c)
		}
		return Verdict{}
	})
	return trace
}

// Calls returns how many calls were written down so far.
func (t *Trace) Calls() int {
	t.mutex.Lock()
	defer t.mutex.Unlock()
	return len(t.calls)
}

// Killed returns the files as they are when the program is killed after the
// first n calls: the system still writes what it was given.
func (t *Trace) Killed(n int) Disk {
	d := t.start.clone()
	for _, c := range t.calls[:n] {
		d.do(c, len(c.Bytes))
	}
	return d
}

// CutOff returns the files as a power cut after the first n calls leaves them
// when nothing reached the disk but what was synced.
func (t *Trace) CutOff(n int) Disk {
	d, _ := t.split(n)
	return d
}

// Torn returns the files as a power cut after the first n calls may leave them:
// of what was not synced, each write is kept, lost or cut at a sector, as random
// says, and later ones may reach the disk without earlier ones.
func (t *Trace) Torn(n int, random *rand.Rand) Disk {
	d, pending := t.split(n)
	for _, c := range pending {
		if c.Kind == Open && len(pending) > 0 && random.IntN(4) > 0 {
			d.do(c, 0) // most often the name is there: what follows means more then
			continue
		}
		switch random.IntN(3) {
		case 0: // lost
		case 1:
			d.do(c, len(c.Bytes))
		case 2:
			d.do(c, random.IntN(len(c.Bytes)/sector+1)*sector)
		}
	}
	return d
}

// OneAndFour keeps the first and the fourth of the writes that were not synced.
func (t *Trace) OneAndFour(n int) Disk {
	d, pending := t.split(n)
	count := 0
	for _, c := range pending {
		if c.Kind == Write {
			count++
		}
		if c.Kind != Write || count == 1 || count == 4 {
			d.do(c, len(c.Bytes))
		}
	}
	return d
}

// sector is what a disk writes at once, in bytes.
const sector = 512

// split divides the first n calls into what is safe on the disk and what a power
// cut may still lose. A sync makes the content of its file safe. Names in the
// folder are safe after the first sync of a journal, which SQLite follows by one
// of the folder, and after a delete that asks for it.
func (t *Trace) split(n int) (Disk, []Call) {
	d := t.start.clone()
	var pending []Call
	for _, c := range t.calls[:n] {
		switch {
		case c.Kind == Sync:
			pending = d.settle(pending, c.File)
		case c.Kind == Delete && c.Folder:
			pending = without(d.names(pending), c.File)
			d.do(c, 0)
		default:
			pending = append(pending, c)
		}
	}
	return d, pending
}

// settle carries out what a sync of the file makes safe and returns the rest.
func (d Disk) settle(pending []Call, file string) (rest []Call) {
	journal := strings.HasSuffix(file, "-wal") || strings.HasSuffix(file, "-journal")
	for _, p := range pending {
		if journal && p.Kind == Open && p.File == file {
			pending = d.names(pending)
			break
		}
	}
	_, named := d[file]
	for _, p := range pending {
		if named && p.File == file && (p.Kind == Write || p.Kind == Truncate) {
			d.do(p, len(p.Bytes))
		} else {
			rest = append(rest, p)
		}
	}
	return rest
}

// names makes the names in the folder safe.
func (d Disk) names(pending []Call) (rest []Call) {
	for _, p := range pending {
		if p.Kind == Open || p.Kind == Delete {
			d.do(p, 0)
		} else {
			rest = append(rest, p)
		}
	}
	return rest
}

// without leaves out what was asked of a file that is gone.
func without(calls []Call, file string) (rest []Call) {
	for _, c := range calls {
		if c.File != file {
			rest = append(rest, c)
		}
	}
	return rest
}

// Disk is the files of a folder.
type Disk map[string][]byte

// Snapshot reads the files of a folder.
func Snapshot(t testing.TB, folder string) Disk {
	t.Helper()
	d := Disk{}
	entries, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if filepath.Ext(e.Name()) == ".lock" || e.IsDir() {
			continue
		}
		if d[e.Name()], err = os.ReadFile(filepath.Join(folder, e.Name())); err != nil {
			t.Fatal(err)
		}
	}
	return d
}

func (d Disk) clone() Disk {
	c := Disk{}
	for name, content := range d {
		c[name] = bytes.Clone(content)
	}
	return c
}

// do carries out a call; of a write only the first bytes.
func (d Disk) do(c Call, first int) {
	switch c.Kind {
	case Open:
		if _, there := d[c.File]; !there {
			d[c.File] = nil
		}
	case Delete:
		delete(d, c.File)
	case Truncate:
		if content, there := d[c.File]; there {
			d[c.File] = resize(content, c.Size)
		}
	case Write:
		content, there := d[c.File]
		if !there {
			return // its name never reached the folder
		}
		if end := c.Offset + int64(first); end > int64(len(content)) {
			content = resize(content, end)
		}
		copy(content[c.Offset:], c.Bytes[:first])
		d[c.File] = content
	case Read, Sync:
	}
}

func resize(content []byte, size int64) []byte {
	if int64(len(content)) >= size {
		return content[:size]
	}
	return append(content, make([]byte, size-int64(len(content)))...)
}

// Write writes the files into an empty folder.
func (d Disk) Write(t testing.TB, folder string) {
	t.Helper()
	for name, content := range d {
		if err := os.WriteFile(filepath.Join(folder, name), content, 0o600); err != nil {
			t.Fatal(err)
		}
	}
}
