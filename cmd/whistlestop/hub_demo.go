package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"whistlestop/internal/hub/office"
)

type hubDemoCommand struct {
	Listen  string `default:"127.0.0.1:8490"`
	Cluster bool
}

// hubDemoMoments are those at which the two invented games of the demonstration stand.
var hubDemoMoments = []string{"power-play", "third-period"}

// hubDemo serves a hub of the invented league in a temporary folder, and two benches
// with the invented game at two moments that are paired with it. Whatever somebody
// enters at one of the benches is on the page of the team a moment later.
func (p *Program) hubDemo(ctx context.Context, c hubDemoCommand) error {
	folder, err := os.MkdirTemp("", "whistlestop-hub-")
	if err != nil {
		return &folderError{folder: os.TempDir(), err: err}
	}
	p.folder, p.remove = folder, true
	serve := hubServeCommand{Data: filepath.Join(folder, "hub"), Listen: c.Listen, Name: p.words.say("hub.command.demo")}
	if c.Cluster {
		serve.Postgres, serve.Nats, err = p.demoCluster(ctx, folder)
		serve.Metrics = "127.0.0.1:0"
	}
	if err == nil {
		err = p.hubServe(ctx, serve)
	}
	if err != nil {
		return err
	}
	p.folder = folder
	families := p.hub.address
	if c.Cluster {
		families, err = p.demoSecondHub(ctx, serve)
	}
	if err == nil {
		err = p.hub.inventCrew(ctx)
	}
	if err == nil {
		err = p.hub.inventGames(ctx)
	}
	if err != nil {
		return err
	}
	by := office.By{Who: office.Here}
	for _, moment := range hubDemoMoments {
		secret, _, err := p.hub.office.Issue(ctx, office.Bench, moment, office.BenchLasts, by)
		if err != nil {
			return err
		}
		data := filepath.Join(folder, moment)
		bench := &Program{Out: p.Out, Log: p.Log, Getenv: p.Getenv, Spoken: p.Spoken}
		p.others = append(p.others, bench)
		err = bench.Run(ctx, []string{
			"demo", "--moment", moment, "--data", data, "--listen", "127.0.0.1:0", "--hub", p.hub.address + "/pair#" + secret,
		})
		if err != nil {
			return err
		}
	}
	secret, _, err := p.hub.office.IssueTeam(ctx, "Kelp Bay", "", by)
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(p.Out, "follow %s/follow/%s\n", families, secret)
	return err
}

// closeOthers ends the programs that this one started within itself, the newest first.
func (p *Program) closeOthers() error {
	var errs []error
	for _, other := range slices.Backward(p.others) {
		errs = append(errs, other.Close())
	}
	return errors.Join(errs...)
}

// subcommand is the second word of a command; empty: there is none.
func subcommand(command string) string {
	_, rest, _ := strings.Cut(command, " ")
	name, _, _ := strings.Cut(rest, " ")
	return name
}
