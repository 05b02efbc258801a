package main

import (
	"context"
	"errors"
	"os"
	"slices"
	"strings"

	"whistlestop/internal/bench"
	"whistlestop/internal/demo"
)

var errNotEmpty = errors.New("games are there")

// demo fills an empty folder with the invented game and serves it.
func (p *Program) demo(ctx context.Context, c demoCommand) error {
	if !slices.Contains(demo.Moments(), c.Moment) {
		return &momentError{moment: c.Moment, moments: strings.Join(demo.Moments(), ", ")}
	}
	if p.folder = c.Data; p.folder == "" {
		if err := p.inDemoFolder(); err != nil {
			return err
		}
	}
	if err := p.openStore(ctx); err != nil {
		return err
	}
	games, err := p.store.Games(ctx)
	if err != nil {
		return &folderError{folder: p.folder, err: err}
	}
	if len(games) > 0 {
		return &folderError{folder: p.folder, err: errNotEmpty}
	}
	ledger, err := demo.Ledger(c.Moment, bench.SteadyClock().Now())
	if err == nil {
		ledger, err = demo.Apart(ledger, randomFor)
	}
	if err != nil {
		return err
	}
	p.unplayed = true // what is invented here was not played yet
	game := ledger[0].Game
	if err := p.store.Append(ctx, game, ledger); err != nil {
		return &folderError{folder: p.folder, err: err}
	}
	if err := p.pairHub(c.Hub); err != nil {
		return err
	}
	return p.serve(ctx, c.serveFlags, game)
}

// inDemoFolder works in a folder that goes when the program ends.
func (p *Program) inDemoFolder() error {
	folder, err := os.MkdirTemp("", "whistlestop-demo-")
	if err != nil {
		return &folderError{folder: os.TempDir(), err: err}
	}
	p.folder, p.remove = folder, true
	return nil
}
