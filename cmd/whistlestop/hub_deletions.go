package main

import (
	"cmp"
	"context"
	"crypto/rand"
	"errors"
	"path/filepath"
	"strconv"
	"time"

	"whistlestop/game/datafile"
	"whistlestop/game/message"
	"whistlestop/internal/folder/privatefile"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/people"
	"whistlestop/season/league"
)

// deletionsFile lies beside the database of a hub, since a copy of that may be older than
// a deletion. It has ids in it and no names.
const deletionsFile = "deleted" + ".jsonl"

// deletionsIn reads the list of a folder; none where there is no file.
func deletionsIn(path string) ([]people.Deletion, error) {
	raw, err := privatefile.At(path).Read()
	if err != nil || raw == nil {
		return nil, err
	}
	list, err := people.ReadDeletions(raw)
	if err != nil {
		return nil, message.New("hub.command.bad_deletions", "file", path)
	}
	return list, nil
}

// deletionsPath is where the list of a hub in a folder lies.
func (p *Program) deletionsPath() string {
	return filepath.Join(cmp.Or(p.hub.folder, p.folder), deletionsFile)
}

// desks are the people of each association of a hub.
func (p *Program) desks(ctx context.Context) ([]*people.Desk, error) {
	all, err := p.hub.store.Associations(ctx)
	desks := make([]*people.Desk, 0, len(all))
	for _, a := range all {
		desks = append(desks, people.New(p.hub.store, a.ID, office.Now, rand.Reader))
	}
	return desks, err
}

// applyDeletions deletes once more whom lists name, and keeps all of them beside the hub.
// It returns how many were there again.
func (p *Program) applyDeletions(ctx context.Context, more ...people.Deletion) (again int, err error) {
	path := p.deletionsPath()
	kept, err := deletionsIn(path)
	if err != nil {
		return 0, err
	}
	list := people.WithDeletions(kept, more)
	if again, err = p.reapply(ctx, list); err != nil {
		return again, err
	}
	return again, p.keepDeletions(ctx, list)
}

// keepDeletions writes the list beside the hub, with those that the database knows.
func (p *Program) keepDeletions(ctx context.Context, list []people.Deletion) error {
	return p.keepDeletionsAt(ctx, p.deletionsPath(), list)
}

// forgot keeps the list in the folder of a hub after a deletion. What fails is mended at
// the next start: the database has it.
func (p *Program) forgot() {
	if p.hub.folder == "" {
		return // one of several hubs, which was given no folder
	}
	p.hub.listing.Lock()
	defer p.hub.listing.Unlock()
	if err := p.keepDeletions(context.Background(), nil); err != nil {
		p.logger.Error("the list of deletions was not written", "error", err)
	}
}

// pruneEvery is how often a hub drops what is kept no longer (ours).
const pruneEvery = 24 * time.Hour

// keepHouse drops what is kept no longer, now and once a day until the hub closes.
func (p *Program) keepHouse() {
	ctx, end := context.WithCancel(context.Background())
	p.hub.endHouse = end
	p.keepChecking(ctx)
	p.hub.house.Go(func() {
		every := time.NewTicker(pruneEvery)
		defer every.Stop()
		for {
			if err := p.prune(ctx); err != nil && !errors.Is(err, context.Canceled) {
				p.logger.Error("what is kept no longer was not dropped", "error", err)
			}
			select {
			case <-every.C:
			case <-ctx.Done():
				return
			}
		}
	})
}

func (p *Program) prune(ctx context.Context) error {
	all, err := p.hub.store.Associations(ctx)
	for _, a := range all {
		err = errors.Join(err, people.New(p.hub.store, a.ID, office.Now, rand.Reader).Prune(ctx), p.dropShortNames(ctx, a.ID))
	}
	return err
}

// dropShortNames takes out the short names of players whose time is over.
func (p *Program) dropShortNames(ctx context.Context, association string) error {
	ended, err := p.hub.seasonAt(association).names.DropEnded(ctx)
	if shown := p.hub.shown.of(association); shown != nil {
		for _, game := range ended {
			shown.Moved(game)
		}
	}
	return err
}

// restoredDeletions applies the list of the hub of before to one that was restored.
func (p *Program) restoredDeletions(ctx context.Context, file string) error {
	var more []people.Deletion
	if file != "" {
		raw, err := readAtMost(file, datafile.Most)
		if err != nil {
			return cannotRead(file, err)
		}
		if more, err = people.ReadDeletions(raw); err != nil {
			return message.New("hub.command.bad_deletions", "file", file)
		}
	}
	again, err := p.applyDeletions(ctx, more...)
	if err == nil && again > 0 {
		p.line("hub.command.deleted_again", "count", strconv.Itoa(again))
	}
	return err
}

// forgetPlayers takes the names of players out of a hub that was restored. Which of them a
// bench withdrew after the copy was written, nobody could say but that bench, and it is
// asked for the others. It says how many games show numbers until then.
func (p *Program) forgetPlayers(ctx context.Context) error {
	all, err := p.hub.store.Associations(ctx)
	if err != nil {
		return err
	}
	games := 0
	for _, a := range all {
		named, err := p.hub.store.NamedGames(ctx, a.ID)
		for _, naming := range []league.Shown{league.ByName, league.ByInitial} {
			_, failed := p.hub.store.ForgetNaming(ctx, a.ID, string(naming))
			err = errors.Join(err, failed)
		}
		if err != nil {
			return err
		}
		games += len(named)
	}
	if games > 0 {
		p.line("hub.command.names_asked", "count", strconv.Itoa(games))
	}
	return nil
}

// logHolds follows the log of an association from the first line that is there.
func (p *Program) logHolds(ctx context.Context, association string) (bool, error) {
	prev, place := "", 0
	for {
		list, err := p.hub.store.Log(ctx, association, place, 500)
		if err != nil || len(list) == 0 {
			return err == nil, err
		}
		for _, line := range list {
			if place != 0 && (line.Prev != prev || line.Seq != place+1) || line.Sum() != line.Hash {
				return false, nil
			}
			prev, place = line.Hash, line.Seq
		}
	}
}
