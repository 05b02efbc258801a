package mirror

import (
	"bytes"
	"crypto/rand"
	"errors"
	"path/filepath"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/internal/folder/durable"
)

// Scrub is what goes from every file of a copy folder: of the games that are here,
// of copies that went another way and were set aside, and of games that only the
// copy has.
type Scrub struct {
	Beside func(entry.Name) bool             // whether a text that lies beside a ledger goes
	Inside func(entry.Entry) (places []bool) // which texts inside an older line go
	// Instead returns the line that took the place of an older one here, if one did.
	Instead func(e entry.Entry) (entry.Entry, bool)
}

// Content returns what a file holds without what goes, and whether that is less
// than it held. A line that cannot be read stays as it is.
func (s Scrub) Content(content []byte) (clean []byte, less bool, err error) {
	writer := entry.Lines{}
	for line := range bytes.Lines(content) {
		text := bytes.TrimRight(line, "\r\n")
		if entry.IsName(text) {
			if name, err := entry.ReadName(text); err == nil && s.Beside(name) {
				less = true
				continue
			}
		} else if e, err := entry.ReadLine(text); err == nil && e.Apart == nil {
			instead, goes, err := s.line(e)
			if err != nil {
				return nil, false, err
			}
			if goes {
				less = true
				if clean, err = writer.Append(clean, instead); err != nil {
					return nil, false, err
				}
				continue
			}
		}
		clean = append(clean, line...)
	}
	return clean, less, nil
}

// line is what takes the place of an older line with texts inside that go.
func (s Scrub) line(e entry.Entry) (instead entry.Entry, goes bool, err error) {
	if instead, goes = s.Instead(e); goes {
		return instead, true, nil
	}
	places := s.Inside(e)
	for _, place := range places {
		goes = goes || place
	}
	if !goes {
		return e, false, nil
	}
	if instead, err = entry.Withdraw(e, func(string) []byte {
		random := make([]byte, entry.RandomBytes)
		_, _ = rand.Read(random) // it never fails
		return random
	}); err != nil {
		return e, false, err
	}
	gone := map[string]bool{}
	for i, kept := range instead.Apart {
		gone[kept.Commitment] = gone[kept.Commitment] || i < len(places) && places[i]
	}
	known := map[string]entry.Name{}
	for _, name := range instead.Names() {
		known[name.Commitment] = name
	}
	return entry.Know(instead, func(_ entry.Text, commitment string) (entry.Name, bool) {
		return known[commitment], !gone[commitment]
	}), true, nil
}

// Folder goes through the files of a folder that may be copies or backups. What
// was being written when the computer stopped is removed.
func (s Scrub) Folder(disk durable.Disk, folder string) error {
	names, err := disk.Names(folder)
	if err != nil {
		return err
	}
	var failed error
	for _, name := range names {
		path := filepath.Join(folder, name)
		switch {
		case strings.HasSuffix(name, ending+durable.New), strings.HasSuffix(name, namesEnding+durable.New):
			failed = errors.Join(failed, disk.Remove(path))
		case strings.HasSuffix(name, ending), strings.HasSuffix(name, namesEnding), strings.Contains(name, ending+setAside):
			failed = errors.Join(failed, s.File(disk, path))
		}
	}
	return failed
}

// File goes through one file.
func (s Scrub) File(disk durable.Disk, path string) error {
	content, err := disk.Read(path)
	if err != nil {
		return err
	}
	clean, less, err := s.Content(content)
	if err != nil || !less {
		return err
	}
	return durable.Write(disk, path, clean)
}

// Scrub has every copy folder gone through, at once or when it is next seen.
func (m *Mirror) Scrub(s Scrub) {
	for _, f := range m.folders {
		f.mutex.Lock()
		f.scrubs = append(f.scrubs, s)
		if f.shown.State == UpToDate {
			f.show(Behind, nil)
		}
		f.mutex.Unlock()
		f.poke()
	}
}

// scrub goes through the folder for what waits for that. What fails waits on.
func (f *folder) scrub() error {
	f.mutex.Lock()
	waiting := f.scrubs
	f.scrubs = nil
	f.mutex.Unlock()
	for i, s := range waiting {
		if err := s.Folder(f.disk, f.path); err != nil {
			f.mutex.Lock()
			f.scrubs = append(waiting[i:], f.scrubs...)
			f.mutex.Unlock()
			return err
		}
		clear(f.files)
	}
	if len(waiting) > 0 {
		f.all()
	}
	return nil
}

// setAside is in the name of a copy's file that is kept and no longer asked about.
const setAside = ".set-aside"

// SetAside renames a copy's file, so that it is kept and no longer read as a copy.
// It returns the new name.
func SetAside(disk durable.Disk, path, mark string) (string, error) {
	aside := path + setAside + "-" + mark
	if err := disk.Rename(path, aside); err != nil {
		return "", err
	}
	return aside, disk.SyncFolder(filepath.Dir(path))
}
