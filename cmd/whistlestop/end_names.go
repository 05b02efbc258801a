package main

import (
	"context"
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"slices"
	"strconv"
	"sync"
	"time"

	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/game/rules"
	"whistlestop/internal/api/laptop"
	"whistlestop/internal/bench"
	"whistlestop/internal/folder/durable"
	"whistlestop/internal/folder/privatefile"
	"whistlestop/internal/mirror"
	"whistlestop/internal/seats"
)

// namesEndedFile lists the games whose names ended on all copies, beside the games.
const namesEndedFile = "names-ended.json"

type endNamesCommand struct {
	Data string   `type:"path"`
	Copy []string `type:"path"`
	Also []string `type:"path"`
}

// namesEnded is the games whose names no copy has any more. It is safe for use by
// many goroutines.
type namesEnded struct {
	file privatefile.File

	mutex sync.Mutex
	games []string
}

func newNamesEnded(file privatefile.File) (*namesEnded, error) {
	n := &namesEnded{file: file}
	saved, err := file.Read()
	if err == nil && saved != nil {
		err = json.Unmarshal(saved, &n.games)
	}
	return n, err
}

func (n *namesEnded) has(game string) bool {
	n.mutex.Lock()
	defer n.mutex.Unlock()
	return slices.Contains(n.games, game)
}

func (n *namesEnded) some() bool {
	n.mutex.Lock()
	defer n.mutex.Unlock()
	return len(n.games) > 0
}

// add notes games. It returns when that is safe.
func (n *namesEnded) add(games []string) error {
	n.mutex.Lock()
	defer n.mutex.Unlock()
	all := union(n.games, games)
	text, err := json.Marshal(all)
	if err == nil {
		err = n.file.Write(text)
	}
	if err == nil {
		n.games = all
	}
	return err
}

// scrub is what goes from copies by the list.
func (n *namesEnded) scrub() mirror.Scrub {
	return mirror.Scrub{
		Beside:  func(name entry.Name) bool { return n.has(name.Game) },
		Inside:  func(entry.Entry) []bool { return nil },
		Instead: func(entry.Entry) (entry.Entry, bool) { return entry.Entry{}, false },
	}
}

// mindNamesEnded reads the list, and has the copies go by it, also a stick that was
// away.
func (p *Program) mindNamesEnded() {
	if p.ended == nil {
		list, err := newNamesEnded(p.private(namesEndedFile))
		if err != nil {
			p.logger.Error("the list of games without names on copies cannot be read", "error", err)
		}
		p.ended = list
	}
	if p.copies != nil && p.ended.some() {
		p.copies.Scrub(p.ended.scrub())
	}
}

// endNames takes the names of people out of every copy, for the command.
func (p *Program) endNames(ctx context.Context, c endNamesCommand) error {
	if err := p.forNames(ctx, c.Data, c.Copy, "copies_end.in_use"); err != nil {
		return err
	}
	done, err := (&endsNames{program: p, seats: p.seats(), also: c.Also}).EndNames(ctx, true)
	if err != nil {
		return said(err)
	}
	p.print("copies_end.done", "games", strconv.Itoa(done.Games))
	for _, folder := range done.Reached {
		p.print("copies_end.reached", "folder", folder)
	}
	for _, folder := range done.Waiting {
		p.print("copies_end.waiting", "folder", folder)
	}
	for _, file := range done.Failed {
		p.print("copies_end.failed", "file", file)
	}
	if done.Phones > 0 {
		p.print("copies_end.phones", "count", strconv.Itoa(done.Phones))
	}
	if done.Kept > 0 {
		p.print("copies_end.kept", "count", strconv.Itoa(done.Kept))
	}
	p.print("copies_end.elsewhere")
	if len(done.Failed) > 0 {
		return message.New("copies_end.not_all")
	}
	return nil
}

// endsNames ends the names on all copies, for the command and for the bench's page.
type endsNames struct {
	program *Program
	seats   *seats.Register
	also    []string // backups to go through
}

// phones takes the seats of games that are over away: a phone whose seat was taken
// away deletes its copy when it hears so.
func (a *endsNames) phones(ctx context.Context, games []string, act bool, told *laptop.NamesEnded) error {
	for _, game := range games {
		sessions := a.seats.List(game).Sessions
		if len(sessions) == 0 {
			continue
		}
		update, err := a.program.live.State(ctx, game)
		if err != nil || update.State.Stage.Kind != entry.Over && !update.State.Book.Sealed {
			told.Kept += len(sessions)
			continue
		}
		for _, one := range sessions {
			if act {
				if err := a.seats.Revoke(game, one.ID); err != nil {
					return err
				}
			}
			told.Phones++
		}
	}
	return nil
}

// EndNames takes the names of people out of every copy; the bench keeps them. It says
// what it reached and what not.
func (a *endsNames) EndNames(ctx context.Context, act bool) (laptop.NamesEnded, error) {
	p := a.program
	told := laptop.NamesEnded{Reached: []string{}, Waiting: []string{}, Failed: []string{}, Done: act}
	games, err := p.store.Games(ctx)
	if err != nil {
		return told, &bench.Problem{Kind: bench.Unavailable, Say: rules.Say{Key: "bench.unreadable"}, Cause: err}
	}
	told.Games = len(games)
	if act {
		if err := p.ended.add(games); err != nil {
			p.logger.Error("note that names end on copies", "error", err)
			return told, &bench.Problem{Kind: bench.Unavailable, Say: rules.Say{Key: "copies_end.not_kept"}, Cause: err}
		}
		told.Failed = p.scrubBackups(p.ended.scrub(), a.also)
		for _, path := range a.also {
			if !slices.Contains(told.Failed, path) {
				told.Reached = append(told.Reached, path)
			}
		}
		if p.copies != nil {
			p.copies.Scrub(p.ended.scrub())
		}
	}
	if err := a.phones(ctx, games, act, &told); err != nil {
		p.logger.Error("take seats away", "error", err)
		return told, &bench.Problem{Kind: bench.Unavailable, Say: rules.Say{Key: "web.seats_not_kept"}, Cause: err}
	}
	if p.copies == nil {
		return told, nil
	}
	told.Waiting = p.scrubbed(ctx)
	for _, folder := range p.copyTo {
		if !slices.Contains(told.Waiting, folder) {
			told.Reached = append(told.Reached, folder)
		}
	}
	return told, nil
}

// scrubBackups goes through backups, and returns those that it could not.
func (p *Program) scrubBackups(what mirror.Scrub, paths []string) (failed []string) {
	failed = []string{}
	for _, path := range paths {
		var err error
		if info, bad := os.Stat(path); bad == nil && info.IsDir() {
			err = what.Folder(durable.System(), path)
		} else {
			err = what.File(durable.System(), path)
			if bad := what.File(durable.System(), mirror.NamesOf(path)); !errors.Is(bad, fs.ErrNotExist) {
				err = errors.Join(err, bad)
			}
		}
		if err != nil {
			p.logger.Error("go through a backup", "file", path, "error", err)
			failed = append(failed, path)
		}
	}
	return failed
}

// scrubbed returns the copy folders that are not there, or not gone through yet.
// A folder that is there is gone through at once; what hangs is named.
func (p *Program) scrubbed(ctx context.Context) (waiting []string) {
	const tries, pause = 50, 100 * time.Millisecond
	for range tries {
		waiting = []string{}
		busy := false
		for _, c := range p.copies.State() {
			if c.State == mirror.UpToDate || c.State == mirror.Differs {
				continue
			}
			waiting = append(waiting, c.Folder)
			busy = busy || c.State == mirror.Behind
		}
		if !busy {
			return waiting
		}
		select {
		case <-time.After(pause):
		case <-ctx.Done():
			return waiting
		}
	}
	return waiting
}
