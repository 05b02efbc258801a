package evening

import (
	"bytes"
	"os"
	"path/filepath"
)

// database are the files of the ledgers.
var database = []string{"whistlestop.db", "whistlestop.db-wal", "whistlestop.db-shm"}

// loseTheEnd puts the database in place that was there at an earlier end of the
// program, as a disk does that lied about its syncs: it is whole by itself, and its
// newest entries are gone. Nothing may be lost where the copies beside it are as the
// program left them. The first time it keeps the database of now for later, and loses
// nothing.
func (v *evening) loseTheEnd() (lost bool) {
	if len(v.others) > 0 || !v.copiesWhole() {
		return false
	}
	if v.database == nil {
		v.database = map[string][]byte{}
		for _, name := range database {
			content, err := os.ReadFile(filepath.Join(v.Folder, name))
			if err == nil {
				v.database[name] = content
			}
		}
		return false
	}
	for _, name := range database {
		path := filepath.Join(v.Folder, name)
		content, was := v.database[name]
		var err error
		if was {
			err = os.WriteFile(path, content, 0o600)
		} else if err = os.Remove(path); os.IsNotExist(err) {
			err = nil
		}
		if err != nil {
			v.fault("an older database cannot be put in place: %v", err)
		}
	}
	v.out.Counts["ends lost"]++
	v.note("lost", "the database is an older one")
	return true
}

// copiesWhole reports whether the copies beside the games have all that was shown,
// and nobody else put a file there.
func (v *evening) copiesWhole() bool {
	folder := filepath.Join(v.Folder, "copies")
	files := v.laptop.disk.files(folder)
	for _, g := range v.games {
		lines, err := readLines(files[filepath.Join(folder, g.id+".jsonl")], g.seen)
		if g.gone || err != nil || len(lines) < len(g.seen) {
			return false
		}
		for i, l := range g.seen {
			if !bytes.Equal(lines[i].raw, l.raw) {
				return false
			}
		}
	}
	return true
}
