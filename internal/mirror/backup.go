package mirror

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/internal/folder/durable"
)

// Saved is what a backup holds.
type Saved struct {
	Games   int
	Entries int
	Damaged []string // games whose ledger cannot be read; they are not in the backup
}

// Source is ledgers that are backed up.
type Source interface {
	Load(ctx context.Context, game string) ([]entry.Entry, error)
	Games(ctx context.Context) ([]string, error)
}

// namesEnding is that of the part of a backup that has the texts about people: it
// can be left out, given to fewer people, and deleted, and the games stay whole.
const namesEnding = ".names"

// NamesOf is where the names of a backup lie, beside its file.
func NamesOf(path string) string { return strings.TrimSuffix(path, ending) + namesEnding }

// BackUpToFile writes all games into one file, and the texts about people into one
// beside it. When it returns nil both and their names are safe on the disk; a crash
// before that leaves an older backup of that name as it was. now is the time of day:
// thirty days after its seal a game has no texts in a backup, as in a copy.
func BackUpToFile(ctx context.Context, from Source, disk durable.Disk, path string, now entry.Millis) (Saved, error) {
	var all, names bytes.Buffer
	saved, err := each(ctx, from, now, func(_ string, _ []entry.Entry, content, beside []byte) error {
		all.Write(content)
		names.Write(beside)
		return nil
	})
	if err != nil {
		return saved, err
	}
	// The names first: those of entries that are not there yet say nothing to anybody.
	return saved, errors.Join(writeNames(disk, path, names.Bytes()), durable.Write(disk, path, all.Bytes()))
}

// BackUpToFolder writes each game into a file of the folder, in place of an older
// one, unless that one has entries that the ledger has not: then it fails and
// leaves the file alone.
func BackUpToFolder(ctx context.Context, from Source, disk durable.Disk, folder string, now entry.Millis) (Saved, error) {
	return each(ctx, from, now, func(game string, ledger []entry.Entry, content, names []byte) error {
		path := filepath.Join(folder, game+ending)
		older, err := disk.Read(path)
		if err == nil && len(older) > 0 && !holds(ledger, content, older) {
			return &OlderError{File: path}
		}
		return errors.Join(writeNames(disk, path, names), durable.Write(disk, path, content))
	})
}

// writeNames writes the names of a backup. Where there are none no file stays.
func writeNames(disk durable.Disk, path string, names []byte) error {
	path = NamesOf(path)
	if len(names) > 0 {
		return durable.Write(disk, path, names)
	}
	err := disk.Remove(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	return errors.Join(err, disk.SyncFolder(filepath.Dir(path)))
}

// ReadNames reads the names of a backup, and how many of its lines are none.
func ReadNames(content []byte) (names []entry.Name, bad int) {
	for line := range bytes.Lines(content) {
		line = bytes.TrimRight(line, "\r\n")
		name, err := entry.ReadName(line)
		switch {
		case len(line) == 0:
		case err != nil:
			bad++
		default:
			names = append(names, name)
		}
	}
	return names, bad
}

// Named gives the entries of a game the names that lie beside its backup, with those
// that they have. After their time they are not taken: somebody left them lying.
func Named(ledger []entry.Entry, names []entry.Name, now entry.Millis) {
	if len(names) == 0 || (fades{}).follow("", ledger, now) {
		return
	}
	var all []entry.Name
	for _, e := range ledger {
		all = append(all, e.Names()...)
	}
	entry.KnowAll(ledger, append(all, names...))
}

// holds reports whether a ledger has all that an older backup of it has. Texts
// about people may have been taken out since, so lines alone do not tell.
func holds(ledger []entry.Entry, content, older []byte) bool {
	if bytes.HasPrefix(content, bytes.TrimRight(older, "\n")) {
		return true
	}
	games, _, err := Read(older)
	return err == nil && len(games) == 1 && games[0].Bad == nil && common(ledger, games[0].Ledger) == len(games[0].Ledger)
}

// OlderError is a file that a backup would have to replace and that says
// something else than the ledger.
type OlderError struct{ File string }

// Error names the file.
func (e *OlderError) Error() string {
	return fmt.Sprintf("%s has entries that are not here", e.File)
}

func each(ctx context.Context, from Source, now entry.Millis, keep func(game string, ledger []entry.Entry, content, names []byte) error) (saved Saved, err error) {
	games, err := from.Games(ctx)
	if err != nil {
		return saved, err
	}
	for _, game := range games {
		ledger, err := from.Load(ctx, game)
		if err != nil {
			saved.Damaged = append(saved.Damaged, game)
			continue
		}
		content, names, err := apart(ledger, now)
		if err != nil {
			return saved, err
		}
		if err := keep(game, ledger, content, names); err != nil {
			return saved, err
		}
		saved.Games++
		saved.Entries += len(ledger)
	}
	return saved, nil
}

// apart are the lines of a ledger, and those beside it as far as their time is not
// over.
func apart(ledger []entry.Entry, now entry.Millis) (content, names []byte, err error) {
	all, err := lines(ledger)
	if err != nil {
		return nil, nil, err
	}
	over := fades{}.follow("", ledger, now)
	for line := range bytes.Lines(all) {
		switch {
		case !entry.IsName(line):
			content = append(content, line...)
		case !over:
			names = append(names, line...)
		}
	}
	return content, names, nil
}
