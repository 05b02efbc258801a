package main

import (
	"path/filepath"

	"whistlestop/internal/folder/office"
	"whistlestop/internal/folder/privatefile"
	"whistlestop/internal/web"
)

// private is a file beside the games that only their owner reads.
func (p *Program) private(name string) privatefile.File {
	return privatefile.At(filepath.Join(p.folder, name))
}

// office is what a coordinator keeps beside the games.
func (p *Program) office() *office.Office {
	return office.New(p.private("teams.json"), p.private("sharing.json"))
}

// paperwork gives a server what it takes to write, share and seal reports, and to
// read rosters.
func (p *Program) paperwork(c web.Config) web.Config {
	c.Report = writeReport
	c.Keys, c.Pins = p.benchKey(), p.pins
	kept := p.office()
	c.Shares, c.Teams, c.Rosters = kept, kept, readRoster
	c.Withdrawals = p.withdrawals(kept, c.Seats)
	return c
}
