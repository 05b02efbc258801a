package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"path/filepath"
	"slices"
	"strings"

	"whistlestop/game/message"
	"whistlestop/internal/hub/postgres"
	"whistlestop/internal/hub/postgres/private"
)

// demoDatabase is the database of the demonstration.
const demoDatabase = "hub"

// demoCluster starts a PostgreSQL and three nodes that last as long as the
// demonstration, and returns where hubs reach them. Nothing of it is reached from another
// computer.
func (p *Program) demoCluster(ctx context.Context, folder string) (database, nodes string, err error) {
	cluster, err := private.Start(ctx)
	if errors.Is(err, private.ErrNoPrograms) {
		return "", "", message.New("hubnational.no_programs")
	}
	if err != nil {
		return "", "", message.Because(err, "hubnational.no_database")
	}
	p.database = cluster
	if err = cluster.Make(ctx, demoDatabase, ""); err == nil {
		err = postgres.Prepare(ctx, cluster.Super(demoDatabase))
	}
	if err != nil {
		return "", "", message.Because(err, "hubnational.no_database")
	}
	addresses, err := freeAddresses(6)
	if err != nil {
		return "", "", err
	}
	listen, between := addresses[:3], addresses[3:]
	var urls []string
	for i := range listen {
		name := string(rune('a' + i))
		err := p.beside(ctx, io.Discard, "hub", "node", "--name", name, "--data", filepath.Join(folder, "node-"+name), "--listen", listen[i],
			"--cluster", between[i], "--others", strings.Join(slices.Delete(slices.Clone(between), i, i+1), ","))
		if err != nil {
			return "", "", err
		}
		urls = append(urls, "nats://"+listen[i])
	}
	return cluster.URL("whistlestop_app", demoDatabase), strings.Join(urls, ","), nil
}

// demoSecondHub starts another hub over the same database, and returns its address.
func (p *Program) demoSecondHub(ctx context.Context, c hubServeCommand) (string, error) {
	err := p.beside(ctx, p.Log, "hub", "--postgres", c.Postgres, "--nats", c.Nats, "--listen", "127.0.0.1:0", "--name", c.Name)
	if err != nil {
		return "", err
	}
	second := p.others[len(p.others)-1].hub.address
	if _, err := fmt.Fprintf(p.Out, "hub %s/\n", second); err != nil {
		return "", err
	}
	p.print("hubnational.cluster")
	return second, nil
}

// beside runs a command inside this program, which ends with it. What it prints is not
// shown: it is one of many. Nodes that start together also say a lot about each other.
func (p *Program) beside(ctx context.Context, log io.Writer, arguments ...string) error {
	other := &Program{Out: io.Discard, Log: log, Getenv: p.Getenv, Spoken: p.Spoken}
	p.others = append(p.others, other)
	return other.Run(ctx, arguments)
}

// freeAddresses are addresses of this computer that nobody uses at the moment.
func freeAddresses(count int) (list []string, err error) {
	for range count {
		l, failed := net.Listen("tcp", "127.0.0.1:0")
		if failed != nil {
			return nil, errors.Join(err, failed)
		}
		defer func() { err = errors.Join(err, l.Close()) }()
		list = append(list, l.Addr().String())
	}
	return list, nil
}
