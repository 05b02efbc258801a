package mirror

import (
	"context"
	"errors"
	"io/fs"
	"path/filepath"
	"strings"

	"whistlestop/internal/durable"
)

// Finding is what a game's copy says about its ledger.
type Finding struct {
	Game   string
	File   string
	Here   int   // entries in the ledger
	Copied int   // entries in the copy that can be trusted
	First  int   // the first entry that differs, or that the ledger lacks; 0: nothing is wrong
	Forked bool  // the two say different things from First on
	Bad    error // why the copy cannot be trusted further
	Broken error // why the ledger cannot be read
	copied Copied
}

// Lacks reports whether the copy has entries that follow the ledger's newest and
// are missing from it: its end was lost.
func (f Finding) Lacks() bool { return f.Broken == nil && !f.Forked && f.Copied > f.Here }

// Compare holds the ledgers against the copies in a folder: a ledger whose end
// was cut off cleanly looks whole by itself, and only a copy tells. A folder that
// is not there has no copies.
func Compare(ctx context.Context, log Log, disk durable.Disk, folder string) ([]Finding, error) {
	names, err := disk.Names(folder)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	var all []Finding
	for _, name := range names {
		if !strings.HasSuffix(name, ending) || strings.HasPrefix(name, ".") {
			continue
		}
		path := filepath.Join(folder, name)
		content, err := disk.Read(path)
		if err != nil {
			return nil, err
		}
		games, _, err := Read(content)
		if err != nil {
			all = append(all, Finding{File: path, Bad: err})
			continue
		}
		for _, game := range games {
			all = append(all, compare(ctx, log, path, game))
		}
	}
	return all, nil
}

func compare(ctx context.Context, log Log, path string, game Copied) Finding {
	found := Finding{Game: game.Game, File: path, Copied: len(game.Ledger), Bad: game.Bad, copied: game}
	ledger, err := log.Load(ctx, game.Game)
	if err != nil {
		found.Broken = err
		return found
	}
	found.Here = len(ledger)
	same := common(ledger, game.Ledger)
	switch {
	case same < min(len(ledger), len(game.Ledger)):
		found.First, found.Forked = same+1, true
	case len(game.Ledger) > len(ledger):
		found.First = same + 1
	}
	return found
}

// Mend appends to the ledger what its end lacks. It is called before the ledger
// is used; the entries were all acknowledged once.
func Mend(ctx context.Context, log Log, found Finding) error {
	return log.Append(ctx, found.Game, found.copied.Ledger[found.Here:])
}
