package main

import (
	"path/filepath"

	"whistlestop/internal/keyfile"
	"whistlestop/internal/office"
	"whistlestop/internal/privatefile"
	"whistlestop/internal/web"
)

// paperwork gives a server what it takes to write, share and seal reports, and to
// read rosters.
func (p *Program) paperwork(c web.Config) web.Config {
	at := func(name string) privatefile.File { return privatefile.At(filepath.Join(p.folder, name)) }
	c.Report = writeReport
	c.Keys = keyfile.New(at("bench-key.pem"))
	kept := office.New(at("teams.json"), at("sharing.json"))
	c.Shares, c.Teams, c.Rosters = kept, kept, readRoster
	return c
}
