package main

import (
	"context"
	"strconv"

	"whistlestop/game/message"
	"whistlestop/internal/withdrawal"
)

type endNamesCommand struct {
	Data string   `type:"path"`
	Copy []string `type:"path"`
	Also []string `type:"path"`
}

// mindNamesEnded reads the list, and has the copies go by it, also a stick that was
// away.
func (p *Program) mindNamesEnded() {
	if p.ended == nil {
		list, err := withdrawal.ReadEnded(p.private(withdrawal.EndedFile))
		if err != nil {
			p.logger.Error("the list of games without names on copies cannot be read", "error", err)
		}
		p.ended = list
	}
	if p.copies != nil && p.ended.Some() {
		p.copies.Scrub(p.ended.Scrub())
	}
}

// endNames takes the names of people out of every copy, for the command.
func (p *Program) endNames(ctx context.Context, c endNamesCommand) error {
	if err := p.forNames(ctx, c.Data, c.Copy, "copies_end.in_use"); err != nil {
		return err
	}
	done, err := p.namesKept(p.office(), p.seats(), c.Also).EndNames(ctx, true)
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
