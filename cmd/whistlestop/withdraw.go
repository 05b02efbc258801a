package main

import (
	"bytes"
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"unicode/utf16"

	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/game/rules"
	"whistlestop/internal/api/laptop"
	"whistlestop/internal/bench"
	"whistlestop/internal/folder/office"
	"whistlestop/internal/mirror"
	"whistlestop/internal/seats"
	"whistlestop/internal/store"
	"whistlestop/record/person"
	"whistlestop/record/seal"
)

type withdrawCommand struct {
	Name string   `arg:""`
	Data string   `type:"path"`
	Copy []string `type:"path"`
	Also []string `type:"path"`
	Look bool
}

// forNames opens the games and their copies for a command that takes names out, where
// no bench has them open; inUse is what is said where one has.
func (p *Program) forNames(ctx context.Context, data string, copies []string, inUse string) error {
	if err := p.inFolder(data); err != nil {
		return err
	}
	if err := p.openStore(ctx); err != nil {
		if errors.Is(err, store.ErrInUse) {
			return message.New(inUse, "folder", p.folder)
		}
		return err
	}
	if err := p.prepareCopies(copies); err != nil {
		return err
	}
	clock := p.beginTime()
	p.copies = mirror.New(p.first, p.systemDisk(), p.logger, clock.Now, p.marks, p.copyTo...)
	p.live = bench.New(p.copies, clock, bench.ULIDs(), p.logger)
	p.live.MindRestart(p.since())
	p.comparing.all(ctx)
	p.mindWithdrawn()
	return nil
}

// withdraw takes a person's name out of everything that is kept.
func (p *Program) withdraw(ctx context.Context, c withdrawCommand) error {
	if _, ok := person.Named(c.Name); !ok {
		return message.New("withdraw.short")
	}
	if err := p.forNames(ctx, c.Data, c.Copy, "withdraw.in_use"); err != nil {
		return err
	}
	p.takeOutAgain(ctx)
	act := p.withdrawals(p.office(), p.seats())
	act.also = c.Also
	found, err := act.Withdraw(ctx, c.Name, !c.Look)
	if err != nil {
		return said(err)
	}
	return p.sayWithdrawn(found, c.Look)
}

// sayWithdrawn prints what was found and done.
func (p *Program) sayWithdrawn(found laptop.Withdrawal, look bool) error {
	for _, g := range found.Games {
		p.print("withdraw.game", "home", g.Title.Home, "visitors", g.Title.Visitors, "date", g.Title.Date,
			"game", g.Game, "count", strconv.Itoa(g.Texts))
	}
	for _, team := range found.Teams {
		p.print("withdraw.team", "team", team)
	}
	if found.Devices > 0 {
		p.print("withdraw.devices", "count", strconv.Itoa(found.Devices))
	}
	if found.Nowhere() && len(found.Left) == 0 {
		p.print("withdraw.nowhere")
	}
	for _, folder := range found.Waiting {
		p.print("withdraw.waiting", "folder", folder)
	}
	for _, file := range found.Left {
		p.print("withdraw.left", "file", file)
	}
	if !look && len(found.Left) == 0 {
		p.print("withdraw.done")
	}
	if !look && len(found.Left) > 0 {
		return message.New("withdraw.not_all")
	}
	return nil
}

// mindWithdrawn reads the list of what was taken out, and has the bench and the
// copies go by it.
func (p *Program) mindWithdrawn() {
	list, err := newWithdrawn(p.private(withdrawnFile))
	if err != nil {
		p.logger.Error("the list of what was taken out cannot be read", "error", err)
	}
	p.gone = list
	p.live.MindGone(list.of, p.withdrawer)
	p.mindNamesEnded()
	if p.copies != nil && len(list.list()) > 0 {
		p.copies.Scrub(list.scrub())
	}
}

// takeOutAgain takes out again what is back: an older database may stand where the
// newer one was.
func (p *Program) takeOutAgain(ctx context.Context) {
	for _, game := range p.gone.list() {
		var problem *bench.Problem
		if err := p.live.TakeOutAgain(ctx, game); err != nil && ctx.Err() == nil && (!errors.As(err, &problem) || problem.Kind != bench.Missing) {
			p.logger.Error("take out again what was taken out", "game", game, "error", err)
		}
	}
}

// withdrawer signs with the bench's key.
func (p *Program) withdrawer() (bench.Withdrawer, error) {
	key, err := p.benchKey().Key()
	return seal.Key(key), err
}

// withdrawals takes names out, for the command and for the bench's page.
type withdrawals struct {
	program *Program
	office  *office.Office
	seats   *seats.Register
	also    []string // backups to go through
}

func (p *Program) withdrawals(kept *office.Office, register *seats.Register) *withdrawals {
	return &withdrawals{program: p, office: kept, seats: register}
}

// Withdraw says where a person is named and, if that is asked for, takes the name
// out of all of it. Each game is one step; what a power cut leaves undone is found
// by doing it again.
func (a *withdrawals) Withdraw(ctx context.Context, name string, act bool) (found laptop.Withdrawal, err error) {
	found = laptop.Withdrawal{Games: []bench.Taken{}, Teams: []string{}, Waiting: []string{}, Left: []string{}}
	who, ok := person.Named(name)
	if !ok {
		return found, &bench.Problem{Kind: bench.Refused, Say: rules.Say{Key: "withdraw.short"}}
	}
	p := a.program
	key, err := p.withdrawer()
	if err != nil && act {
		p.logger.Error("read the bench's key", "error", err)
		return found, &bench.Problem{Kind: bench.Unavailable, Say: rules.Say{Key: "web.no_key"}}
	}
	games, err := p.store.Games(ctx)
	if err != nil {
		return found, &bench.Problem{Kind: bench.Unavailable, Say: rules.Say{Key: "bench.unreadable"}, Cause: err}
	}
	for _, id := range games {
		var taken bench.Taken
		if act {
			taken, err = p.live.TakeOut(ctx, id, who, key, func(gone bench.Gone) error { return p.gone.add(id, gone) })
		} else {
			taken, err = p.live.Mentions(ctx, id, who)
		}
		if err != nil {
			return found, err
		}
		if taken.Texts > 0 {
			found.Games = append(found.Games, taken)
		}
	}
	if err := a.beside(who, act, &found); err != nil {
		p.logger.Error("take a name out of what lies beside the games", "error", err)
		return found, &bench.Problem{Kind: bench.Unavailable, Say: rules.Say{Key: "withdraw.not_kept"}, Cause: err}
	}
	if act {
		a.copies(ctx, who, &found)
	}
	found.Done = act
	found.Left = append(found.Left, a.left(name, act)...)
	return found, nil
}

// beside looks in what is kept beside the games.
func (a *withdrawals) beside(who person.Person, act bool, found *laptop.Withdrawal) (err error) {
	if act {
		found.Teams, err = a.office.Forget(who)
	} else {
		found.Teams, err = a.office.Mentions(who)
	}
	devices, failed := a.seats.Nameless(who.In, who.Without, act)
	found.Devices = devices
	return errors.Join(err, failed)
}

// copies has every copy gone through, and waits a moment for those that are there.
func (a *withdrawals) copies(ctx context.Context, who person.Person, found *laptop.Withdrawal) {
	p := a.program
	what := mirror.Scrub{
		Beside: func(name entry.Name) bool { return who.In(name.Text) || p.gone.scrub().Beside(name) },
		Inside: func(e entry.Entry) []bool {
			places, _ := who.Places(e)
			for i, gone := range p.gone.of(e.Game).In(e) {
				places[i] = places[i] || gone
			}
			return places
		},
		Instead: func(e entry.Entry) (entry.Entry, bool) { return a.instead(ctx, e) },
	}
	found.Left = append(found.Left, p.scrubBackups(what, a.also)...)
	if p.copies == nil {
		return
	}
	p.copies.Scrub(what)
	found.Waiting = p.scrubbed(ctx)
}

// instead is the line that took the place of an older one.
func (a *withdrawals) instead(ctx context.Context, older entry.Entry) (entry.Entry, bool) {
	ledger, err := a.program.live.Ledger(ctx, older.Game)
	if err != nil || older.Seq > len(ledger) {
		return entry.Entry{}, false
	}
	here := ledger[older.Seq-1]
	hash, err := older.Hash()
	return here, err == nil && here.Was == hash
}

// left names the files of the folder in which the name still stands, as in a rink
// card that somebody wrote. Databases are looked at only after the act: before it
// the name stands there, and that is said by game.
func (a *withdrawals) left(name string, act bool) (files []string) {
	forms := spellings(name)
	_ = filepath.WalkDir(a.program.folder, func(path string, d fs.DirEntry, err error) error {
		if err != nil || !d.Type().IsRegular() {
			return nil // what cannot be read cannot be looked into
		}
		base := filepath.Base(path)
		if kept := strings.HasPrefix(base, "whistlestop.db") || strings.Contains(base, ".jsonl") || base == "teams.json" || base == seatsFile || base == formersFile; kept && !act {
			return nil
		}
		content, err := os.ReadFile(path)
		if err != nil {
			return nil
		}
		content = bytes.ToLower(content)
		for _, form := range forms {
			if bytes.Contains(content, form) {
				files = append(files, path)
				break
			}
		}
		return nil
	})
	return files
}

// spellings are the bytes of a name in the ways in which files write it.
func spellings(name string) [][]byte {
	name = strings.ToLower(strings.Join(strings.Fields(name), " "))
	var little, big, escaped []byte
	for _, unit := range utf16.Encode([]rune(name)) {
		little = append(little, byte(unit), byte(unit>>8))
		big = append(big, byte(unit>>8), byte(unit))
		if unit < 0x80 {
			escaped = append(escaped, byte(unit))
		} else {
			const hex = "0123456789abcdef"
			escaped = append(escaped, '\\', 'u', hex[unit>>12], hex[unit>>8&15], hex[unit>>4&15], hex[unit&15])
		}
	}
	return [][]byte{[]byte(name), little, big, escaped}
}
