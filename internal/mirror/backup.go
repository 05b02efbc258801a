package mirror

import (
	"bytes"
	"context"
	"fmt"
	"path/filepath"

	"whistlestop/game/entry"
	"whistlestop/internal/durable"
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

// BackUpToFile writes all games into one file. When it returns nil the file and
// its name are safe on the disk; a crash before that leaves an older backup of
// that name as it was.
func BackUpToFile(ctx context.Context, from Source, disk durable.Disk, path string) (Saved, error) {
	var all bytes.Buffer
	saved, err := each(ctx, from, func(_ string, _ []entry.Entry, content []byte) error {
		all.Write(content)
		return nil
	})
	if err != nil {
		return saved, err
	}
	return saved, durable.Write(disk, path, all.Bytes())
}

// BackUpToFolder writes each game into a file of the folder, in place of an older
// one, unless that one has entries that the ledger has not: then it fails and
// leaves the file alone.
func BackUpToFolder(ctx context.Context, from Source, disk durable.Disk, folder string) (Saved, error) {
	return each(ctx, from, func(game string, ledger []entry.Entry, content []byte) error {
		path := filepath.Join(folder, game+ending)
		older, err := disk.Read(path)
		if err == nil && len(older) > 0 && !holds(ledger, content, older) {
			return &OlderError{File: path}
		}
		return durable.Write(disk, path, content)
	})
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

func each(ctx context.Context, from Source, keep func(game string, ledger []entry.Entry, content []byte) error) (saved Saved, err error) {
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
		content, err := lines(ledger)
		if err != nil {
			return saved, err
		}
		if err := keep(game, ledger, content); err != nil {
			return saved, err
		}
		saved.Games++
		saved.Entries += len(ledger)
	}
	return saved, nil
}
