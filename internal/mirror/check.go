package mirror

import (
	"context"
	"errors"
	"io/fs"
	"path/filepath"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/internal/folder/durable"
)

// Finding is what a game's copy says about its ledger.
type Finding struct {
	Game   string
	File   string
	Here   int    // entries in the ledger
	Copied int    // entries in the copy that can be trusted
	First  int    // the first entry that differs, or that the ledger lacks; 0: nothing is wrong
	Forked bool   // the two say different things from First on
	Bad    error  // why the copy cannot be trusted further
	Broken error  // why the ledger cannot be read
	Own    int    // entries of the copy, from the first on, that this bench is known to have written
	Bench  string // which bench's the copy says it is: its public key; empty if it does not say

	Ledger []entry.Entry // of the copy, as far as it can be trusted
}

// Lacks reports whether the copy has entries that follow the ledger's newest and
// are missing from it: its end was lost.
func (f Finding) Lacks() bool { return f.Broken == nil && !f.Forked && f.Copied > f.Here }

// Copies lists the files in a folder that may have copies: of games by their own
// name, and others. A folder that is not there has none.
func Copies(disk durable.Disk, folder string) (games map[string]string, others []string, err error) {
	names, err := disk.Names(folder)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil, nil
	}
	if err != nil {
		return nil, nil, err
	}
	games = map[string]string{}
	for _, name := range names {
		game, is := strings.CutSuffix(name, ending)
		switch path := filepath.Join(folder, name); {
		case !is || strings.HasPrefix(name, "."):
		case entry.ValidID(game):
			games[game] = path
		default:
			others = append(others, path)
		}
	}
	return games, others, nil
}

// Compare holds the ledgers against a file with copies: a ledger whose end was cut
// off cleanly looks whole by itself, and only a copy tells. A file that cannot be
// read is a finding.
func Compare(ctx context.Context, log Log, disk durable.Disk, own *Marks, path string) []Finding {
	content, err := disk.Read(path)
	if errors.Is(err, durable.ErrTooLarge) && !entry.ValidID(strings.TrimSuffix(filepath.Base(path), ending)) {
		return nil // a backup of a season, which is no copy of a game
	}
	if err != nil {
		return []Finding{{File: path, Bad: plain(err)}}
	}
	var all []Finding
	marks, bench := readMarks(disk, path)
	if found, is := asWritten(ctx, log, path, content); is {
		found.Own, found.Bench = own.Own(found.Ledger, marks), bench
		return []Finding{found}
	}
	games, _, err := Read(content)
	if err != nil {
		return []Finding{{File: path, Bad: err}}
	}
	for _, game := range games {
		found := compare(ctx, log, path, game)
		found.Own, found.Bench = own.Own(game.Ledger, marks), bench
		all = append(all, found)
	}
	return all
}

// asWritten is what is found about a copy of a game by its own name that is to the
// byte what the ledger has, which is the rule: to know it, nothing need be read.
func asWritten(ctx context.Context, log Log, path string, content []byte) (found Finding, is bool) {
	game := strings.TrimSuffix(filepath.Base(path), ending)
	if !entry.ValidID(game) || len(content) == 0 {
		return found, false
	}
	ledger, err := log.Load(ctx, game)
	if err != nil {
		return found, false
	}
	count, is := written(&entry.Lines{}, ledger, content)
	return Finding{Game: game, File: path, Here: len(ledger), Copied: count, Ledger: ledger[:count:count]}, is
}

func compare(ctx context.Context, log Log, path string, game Copied) Finding {
	found := Finding{Game: game.Game, File: path, Copied: len(game.Ledger), Bad: game.Bad, Ledger: game.Ledger}
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
