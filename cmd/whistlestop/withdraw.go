package main

import (
	"context"
	"errors"
	"strconv"

	"whistlestop/game/message"
	"whistlestop/internal/api/laptop"
	"whistlestop/internal/bench"
	"whistlestop/internal/folder/office"
	"whistlestop/internal/mirror"
	"whistlestop/internal/seats"
	"whistlestop/internal/store"
	"whistlestop/internal/withdrawal"
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
	found, err := p.namesKept(p.office(), p.seats(), c.Also).Withdraw(ctx, c.Name, !c.Look)
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
	list, err := withdrawal.ReadList(p.private(withdrawal.ListFile))
	if err != nil {
		p.logger.Error("the list of what was taken out cannot be read", "error", err)
	}
	p.gone = list
	p.live.MindGone(list.Of, p.withdrawer)
	p.mindNamesEnded()
	if p.copies != nil && len(list.Games()) > 0 {
		p.copies.Scrub(list.Scrub())
	}
}

// takeOutAgain takes out again what is back: an older database may stand where the
// newer one was.
func (p *Program) takeOutAgain(ctx context.Context) {
	for _, game := range p.gone.Games() {
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

// namesKept is everything in which names are kept here, for the commands and for the
// bench's page; also are backups to go through besides.
func (p *Program) namesKept(kept *office.Office, register *seats.Register, also []string) *withdrawal.Kept {
	return &withdrawal.Kept{
		Folder: p.folder, Games: p.store.Games, Live: p.live, Copies: p.copies, CopyTo: p.copyTo,
		Office: kept, Seats: register, List: p.gone, Ended: p.ended, Key: p.withdrawer, Logger: p.logger,
		Also: also, Known: []string{teamsFile, seatsFile, formersFile},
	}
}
