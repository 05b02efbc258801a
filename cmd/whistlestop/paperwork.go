package main

import (
	"io"
	"path/filepath"

	"whistlestop/game/entry"
	"whistlestop/internal/api/laptop"
	"whistlestop/internal/folder/office"
	"whistlestop/internal/folder/privatefile"
	"whistlestop/internal/paper"
)

// private is a file beside the games that only their owner reads.
func (p *Program) private(name string) privatefile.File {
	return privatefile.At(filepath.Join(p.folder, name))
}

// office is what a coordinator keeps beside the games.
func (p *Program) office() *office.Office {
	return office.New(p.private(teamsFile), p.private("sharing.json"))
}

// paperwork gives a bench what it takes to write, share and seal reports, and to
// read rosters.
func (p *Program) paperwork(c laptop.Service) laptop.Service {
	c.Report = func(out io.Writer, ledger []entry.Entry, format string, w laptop.Wanted) error {
		return writeReport(out, ledger, format, paper.Options{Paper: w.Paper, Times: w.Times, Names: w.Names, Picture: w.Picture, Words: w.Words})
	}
	c.Keys, c.Pins = p.benchKey(), p.pins
	kept := p.office()
	c.Shares, c.Teams, c.Rosters = kept, kept, readRoster
	names := p.namesKept(kept, c.Seats, nil)
	c.Withdrawals, c.EndsNames = names, names
	return c
}
