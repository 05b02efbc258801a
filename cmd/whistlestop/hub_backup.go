package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"sync/atomic"

	"golang.org/x/sync/errgroup"

	"whistlestop/game/message"
	"whistlestop/internal/folder/durable"
	"whistlestop/internal/hub/ledgers"
	hubstore "whistlestop/internal/hub/sqlite"
)

type hubBackupCommand struct {
	Target   string `arg:"" type:"path"`
	Data     string `type:"path"`
	Postgres string
	People   string `type:"path"`
}

type hubRestoreCommand struct {
	From     string `arg:"" type:"path"`
	Data     string `type:"path"`
	Deleted  string `type:"existingfile"`
	Postgres string
	People   string `type:"existingdir"`
}

// hubBackUp writes the whole hub, which may be running: the games into one file, each
// crew's desk into one beside it. It says so only when files and names are on the disk.
func (p *Program) hubBackUp(ctx context.Context, c hubBackupCommand) error {
	if c.Postgres != "" {
		return p.backUpNational(ctx, c)
	}
	if c.People != "" {
		return message.New("hubnational.people_apart")
	}
	if _, err := p.besideHub(ctx, c.Data); err != nil {
		return err
	}
	if err := p.hub.file.BackUp(ctx, c.Target); err != nil {
		return message.Because(err, "hub.command.not_saved", "target", c.Target)
	}
	all, err := p.hub.store.Associations(ctx)
	if err != nil {
		return err
	}
	desks, err := p.backUpCrews(ctx, c.Target, all)
	if err != nil {
		return message.Because(err, "hub.command.not_saved", "target", c.Target)
	}
	if err := p.noteBackup(ctx); err != nil {
		return err
	}
	if err := p.tellHub(ctx, "hub.command.saved", c.Target); err != nil {
		return err
	}
	for _, name := range desks {
		p.line("hub.command.saved_crew", "file", name)
	}
	return nil
}

// hubRestore makes a hub of a copy, in a folder without one, and follows every chain.
func (p *Program) hubRestore(ctx context.Context, c hubRestoreCommand) error {
	if c.Postgres != "" {
		return p.restoreNational(ctx, c)
	}
	if c.People != "" {
		return message.New("hubnational.people_apart")
	}
	if _, err := os.Stat(c.From); err != nil {
		return cannotRead(c.From, err)
	}
	if err := p.hubFolder(c.Data); err != nil {
		return err
	}
	if err := durable.MakeFolder(p.folder); err != nil {
		return &folderError{folder: p.folder, err: err}
	}
	target := filepath.Join(p.folder, hubstore.File)
	if _, err := os.Stat(target); !errors.Is(err, fs.ErrNotExist) {
		return message.New("hub.command.there", "folder", p.folder)
	}
	if err := copyFile(c.From, target); err != nil {
		return &folderError{folder: p.folder, err: err}
	}
	store, err := hubstore.Open(ctx, p.folder)
	if err != nil {
		return &folderError{folder: p.folder, err: err}
	}
	p.hub = &association{store: store, file: store}
	if err := store.Check(ctx); err != nil {
		return message.Because(err, "hub.command.damaged", "file", c.From)
	}
	if err := p.restoreCrews(ctx, c.From); err != nil {
		return err
	}
	if err := p.restoredDeletions(ctx, c.Deleted); err != nil {
		return err
	}
	if err := p.forgetPlayers(ctx); err != nil {
		return err
	}
	return p.tellHub(ctx, "hub.command.restored", c.From)
}

// tellHub follows the chain of every game and says how many there are.
func (p *Program) tellHub(ctx context.Context, key, file string) error {
	all, err := p.hub.store.Associations(ctx)
	if err != nil {
		return err
	}
	games, entries := 0, 0
	for _, a := range all {
		holds, err := p.logHolds(ctx, a.ID)
		if err == nil && !holds {
			return message.New("hub.command.bad_log", "name", a.Name, "file", file)
		}
		if err != nil {
			return err
		}
		list, err := p.hub.store.Games(ctx, a.ID)
		if err != nil {
			return err
		}
		count, err := p.followGames(ctx, a.ID, list, file)
		if err != nil {
			return err
		}
		games, entries = games+len(list), entries+count
	}
	_, err = fmt.Fprintln(p.Out, p.words.say(key, "file", file, "games", strconv.Itoa(games), "entries", strconv.Itoa(entries), "folder", p.folder))
	return err
}

// followGames follows the chains of an association's games and returns how many entries
// they have, several at once: while the database looks for one another is read.
func (p *Program) followGames(ctx context.Context, association string, list []ledgers.Game, file string) (int, error) {
	var entries atomic.Int64
	at, ctx := errgroup.WithContext(ctx)
	at.SetLimit(2 * runtime.GOMAXPROCS(0))
	for _, g := range list {
		if ctx.Err() != nil {
			break
		}
		at.Go(func() error {
			holds, count, err := p.whole(ctx, ledgers.Where{Association: association, Game: g.ID}, g.Head)
			if err == nil && !holds {
				err = message.New("hub.command.bad_game", "game", g.ID, "file", file)
			}
			entries.Add(int64(count))
			return err
		})
	}
	err := at.Wait()
	return int(entries.Load()), err
}

// copyFile copies a file of any size; it is whole and on the disk once it has its name.
func copyFile(from, to string) (err error) {
	source, err := os.Open(from)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, source.Close()) }()
	part := to + ".part"
	target, err := os.OpenFile(part, os.O_CREATE|os.O_TRUNC|os.O_WRONLY, 0o600)
	if err != nil {
		return err
	}
	_, err = io.Copy(target, source)
	if err = errors.Join(err, target.Sync(), target.Close()); err == nil {
		err = os.Rename(part, to)
	}
	if err != nil {
		return errors.Join(err, os.Remove(part))
	}
	return durable.Lenient(durable.System()).SyncFolder(filepath.Dir(to))
}
