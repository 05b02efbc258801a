package main

import (
	"cmp"
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"time"

	"whistlestop/game/message"
	"whistlestop/internal/folder/durable"
	"whistlestop/internal/folder/privatefile"
	"whistlestop/internal/hub/copied"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/people"
	"whistlestop/internal/hub/postgres"
	"whistlestop/internal/hub/site"
)

// peopleKept is for how long the people's part of a copy is kept: whoever was deleted is
// in no part that is older.
const peopleKept = 30 * 24 * time.Hour

// backUpNational writes a copy of the whole database into a folder, people apart, and
// keeps the list of deletions beside all copies. Hubs may be running.
func (p *Program) backUpNational(ctx context.Context, c hubBackupCommand) error {
	opened, err := openPostgres(ctx, c.Postgres)
	if err != nil {
		return err
	}
	p.hub = &association{store: opened}
	refuse := func(err error) error {
		return message.Because(err, "hubnational.not_saved", "target", c.Target)
	}
	if err := durable.MakeFolder(c.Target); err != nil {
		return refuse(err)
	}
	games, persons := filepath.Join(c.Target, copied.Games), cmp.Or(c.People, filepath.Join(c.Target, copied.People))
	if c.People != "" {
		if err := durable.MakeFolder(filepath.Dir(c.People)); err != nil {
			return refuse(err)
		}
	}
	now := office.Now()
	m, err := opened.BackUp(ctx, games, persons, now)
	if err != nil {
		return refuse(err)
	}
	if err := p.keepDeletionsAt(ctx, filepath.Join(filepath.Dir(c.Target), deletionsFile), nil); err != nil {
		return refuse(err)
	}
	if err := p.noteBackup(ctx); err != nil {
		return err
	}
	p.print("hubnational.saved", "games", strconv.Itoa(m.Heads.Games), "entries", strconv.Itoa(m.Heads.Entries),
		"target", c.Target, "people", persons)
	return p.dropOldPeople(persons, int64(now))
}

type hubHeadsCommand struct {
	Postgres string `required:""`
}

// hubHeads says where all ledgers of a database end, to which hubs may be writing.
func (p *Program) hubHeads(ctx context.Context, c hubHeadsCommand) error {
	opened, err := openPostgres(ctx, c.Postgres)
	if err != nil {
		return err
	}
	p.hub = &association{store: opened}
	heads, err := opened.AllHeads(ctx)
	if err != nil {
		return message.Because(err, "hubnational.no_database")
	}
	p.print("hubnational.all_heads", "games", strconv.Itoa(heads.Games), "entries", strconv.Itoa(heads.Entries), "hash", heads.Hash)
	return nil
}

// noteBackup writes into each association's log that a copy was written.
func (p *Program) noteBackup(ctx context.Context) error {
	all, err := p.hub.store.Associations(ctx)
	for _, one := range all {
		desk := office.New(p.hub.store, one.ID, office.Now, rand.Reader)
		err = errors.Join(err, p.hub.store.Found(ctx, one, desk.Note(office.Here, site.BackedUp, "", "")))
	}
	return err
}

// dropOldPeople removes the people's parts of older copies that lie beside one, after
// thirty days. Only what says of itself that it is such a part is touched.
func (p *Program) dropOldPeople(newest string, now int64) error {
	list, err := filepath.Glob(filepath.Join(filepath.Dir(filepath.Dir(newest)), "*", filepath.Base(newest)))
	if err != nil {
		return err
	}
	for _, folder := range list {
		m, err := copied.Read(folder)
		if err != nil || m.Part != copied.People || now-m.At < peopleKept.Milliseconds() {
			continue
		}
		if err := os.RemoveAll(folder); err != nil {
			return message.Because(err, "hubnational.people_stay", "folder", folder)
		}
		p.print("hubnational.people_gone", "folder", folder)
	}
	return nil
}

// restoreNational puts a copy into a database without a hub, follows every chain, and
// deletes once more whom a list names.
func (p *Program) restoreNational(ctx context.Context, c hubRestoreCommand) error {
	games, persons := filepath.Join(c.From, copied.Games), cmp.Or(c.People, filepath.Join(c.From, copied.People))
	if _, err := os.Lstat(persons); errors.Is(err, fs.ErrNotExist) && c.People == "" {
		persons = ""
	}
	more, err := p.deletionsBeside(c)
	if err != nil {
		return err
	}
	restored, m, err := postgres.Restore(ctx, c.Postgres, games, persons)
	switch {
	case errors.Is(err, copied.ErrNewer):
		return message.New("hubnational.copy_newer", "from", c.From)
	case errors.Is(err, copied.ErrDamaged), errors.Is(err, copied.ErrNone), errors.Is(err, postgres.ErrTwoCopies), errors.Is(err, postgres.ErrOtherEnds):
		return message.Because(err, "hubnational.copy_bad", "from", c.From)
	case errors.Is(err, postgres.ErrNotEmpty):
		return message.New("hubnational.not_empty")
	case err != nil:
		return message.Because(err, "hubnational.not_restored")
	}
	p.hub = &association{store: restored}
	again, err := p.reapply(ctx, more)
	if err != nil {
		return err
	}
	if err := p.forgetPlayers(ctx); err != nil {
		return err
	}
	if err := p.tellHub(ctx, "hubnational.restored", c.From); err != nil {
		return err
	}
	p.print("hubnational.heads", "at", time.UnixMilli(m.At).UTC().Format("2006-01-02 15:04 UTC"), "hash", m.Heads.Hash)
	if persons == "" {
		p.print("hubnational.no_people")
	}
	if again > 0 {
		p.line("hub.command.deleted_again", "count", strconv.Itoa(again))
	}
	return nil
}

// deletionsBeside is the list that lies beside all copies, with the one that is given.
func (p *Program) deletionsBeside(c hubRestoreCommand) (list []people.Deletion, err error) {
	for _, path := range []string{filepath.Join(filepath.Dir(filepath.Clean(c.From)), deletionsFile), c.Deleted} {
		if path == "" {
			continue
		}
		some, err := deletionsIn(path)
		if err != nil {
			return nil, err
		}
		list = people.WithDeletions(list, some)
	}
	return list, nil
}

// reapply deletes once more whom a list names, and returns how many were there again.
func (p *Program) reapply(ctx context.Context, list []people.Deletion) (again int, err error) {
	desks, err := p.desks(ctx)
	for _, desk := range desks {
		n, failed := desk.Reapply(ctx, list)
		again, err = again+n, errors.Join(err, failed)
	}
	return again, err
}

// keepDeletionsAt writes a list, with those that are in the file and those that the
// database knows.
func (p *Program) keepDeletionsAt(ctx context.Context, path string, list []people.Deletion) error {
	before, err := deletionsIn(path)
	if err != nil {
		return err
	}
	list = people.WithDeletions(before, list)
	desks, err := p.desks(ctx)
	if err != nil {
		return err
	}
	for _, desk := range desks {
		known, err := desk.Deletions(ctx)
		if err != nil {
			return err
		}
		list = people.WithDeletions(list, known)
	}
	if len(list) == len(before) {
		return nil
	}
	if err := privatefile.At(path).Write(people.WriteDeletions(list)); err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	return nil
}
