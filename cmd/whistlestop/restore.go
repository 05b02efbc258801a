package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/internal/bench"
	"whistlestop/internal/folder/durable"
	"whistlestop/internal/mirror"
	"whistlestop/internal/store"
	"whistlestop/record/seal"
)

type restoreCommand struct {
	From       []string `arg:"" type:"path"`
	Data       string   `type:"path"`
	UpToDamage bool
	NoNames    bool
	Accept     bool
}

// restore takes games over. What is in the folder already is never replaced.
func (p *Program) restore(ctx context.Context, c restoreCommand) error {
	games, err := p.readCopies(c)
	if err != nil {
		return err
	}
	if err := p.inFolder(c.Data); err != nil {
		return err
	}
	if err := p.openStore(ctx); err != nil {
		if errors.Is(err, store.ErrInUse) {
			return message.New("restore.in_use", "folder", p.folder)
		}
		return err
	}
	p.live = bench.New(p.store, p.beginTime(), bench.ULIDs(), p.logger)
	p.live.MindRestart(p.since())
	p.mindWithdrawn()
	p.takeOutAgain(ctx)
	if key, err := p.benchKey().Key(); err == nil {
		p.marks = mirror.NewMarks(seal.Key(key))
	}
	var failed error
	for _, g := range games {
		done, err := p.live.Restore(ctx, g.Ledger, bench.Taking{Own: p.marks.Own(g.Ledger, nil), Decided: c.Accept})
		if err != nil {
			failed = errors.Join(failed, said(err))
			continue
		}
		// Of a game that was here before, the lines of which stay as they are.
		if err := p.store.Learn(ctx, done.Game, namesOf(g.Ledger)); err != nil {
			failed = errors.Join(failed, err)
		}
		key := "restore.took"
		if done.Added == 0 {
			key = "restore.had"
		}
		if done.Proposed > 0 {
			failed = errors.Join(failed, message.New("restore.proposed", "game", done.Game, "count", strconv.Itoa(done.Proposed), "here", strconv.Itoa(done.Had+done.Added)))
			if done.Added == 0 {
				continue
			}
		}
		p.print(key, "game", done.Game, "home", done.Title.Home, "visitors", done.Title.Visitors,
			"added", strconv.Itoa(done.Added), "copied", strconv.Itoa(done.Copied), "had", strconv.Itoa(done.Had))
		if update, err := p.live.State(ctx, done.Game); err == nil && update.State.Clock.Doubt != nil {
			p.print("restore.doubted")
		}
	}
	if err := p.restoreSeason(c.From); err != nil {
		failed = errors.Join(failed, err)
	}
	if failed == nil {
		p.print("restore.done", "folder", p.folder)
	}
	return failed
}

// said is a problem of the bench in words.
func said(err error) error {
	var problem *bench.Problem
	if !errors.As(err, &problem) {
		return err
	}
	what := problem.Say
	if len(problem.Refused) > 0 {
		what = problem.Refused[0].Say
	}
	return &message.Error{Say: what}
}

// print prints a sentence; a screen that is gone keeps nothing from being done.
func (p *Program) print(key string, pairs ...string) {
	_, _ = fmt.Fprintln(p.Out, p.words.say(key, pairs...))
}

// readCopies reads all files before anything is written.
func (p *Program) readCopies(c restoreCommand) (games []mirror.Copied, err error) {
	for _, from := range c.From {
		files := []string{from}
		if info, err := os.Stat(from); err == nil && info.IsDir() {
			if files, err = filepath.Glob(filepath.Join(from, "*.jsonl")); err != nil {
				return nil, err
			}
		}
		found := len(games)
		for _, file := range files {
			read, err := p.readFile(c, file)
			if err != nil {
				return nil, err
			}
			games = append(games, read...)
		}
		if len(games) == found {
			return nil, message.New("restore.nothing", "from", strings.TrimSpace(from))
		}
	}
	return games, nil
}

// readFile reads the games of one file, with the names that lie beside it.
func (p *Program) readFile(c restoreCommand, file string) (games []mirror.Copied, err error) {
	content, err := readAtMost(file, durable.ReadMost)
	var large *message.Error
	if errors.As(err, &large) {
		return nil, message.Because(message.In(file, large), "restore.no_copy")
	}
	if err != nil {
		return nil, cannotRead(file, err)
	}
	read, torn, err := mirror.Read(content)
	if errors.Is(err, mirror.ErrNamesAlone) {
		return nil, message.New("restore.names_alone", "file", file)
	}
	if err != nil {
		return nil, message.Because(message.In(file, err), "restore.no_copy")
	}
	if torn {
		p.print("restore.torn", "file", file)
	}
	for _, g := range read {
		if g.Bad != nil && !c.UpToDamage {
			return nil, message.Because(g.Bad, "restore.bad_line", "line", strconv.Itoa(g.Line), "count", strconv.Itoa(len(g.Ledger)))
		}
		p.named(g.Ledger, file, c.NoNames)
		if len(g.Ledger) > 0 {
			games = append(games, g)
		}
	}
	return games, nil
}

// named gives a game the names that lie beside its backup, or takes those away that
// are in it. A part with names that cannot be read keeps no game from being taken.
func (p *Program) named(ledger []entry.Entry, file string, without bool) {
	if without {
		entry.KnowAll(ledger, nil)
		return
	}
	content, err := readAtMost(mirror.NamesOf(file), durable.ReadMost)
	names, bad := mirror.ReadNames(content)
	if err != nil && !errors.Is(err, fs.ErrNotExist) || bad > 0 {
		p.print("restore.names_bad", "file", mirror.NamesOf(file))
	}
	mirror.Named(ledger, names, entry.Millis(time.Now().UnixMilli()))
}

// namesOf are the texts about people that a ledger knows.
func namesOf(ledger []entry.Entry) (names []entry.Name) {
	for _, e := range ledger {
		names = append(names, e.Names()...)
	}
	return names
}
