package main

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"net/netip"
	"path/filepath"
	"strconv"

	"whistlestop/internal/bench"
	"whistlestop/internal/cardfolder"
	"whistlestop/internal/demo"
	"whistlestop/internal/durable"
	"whistlestop/internal/lan"
	"whistlestop/internal/locale"
	"whistlestop/internal/mirror"
	"whistlestop/internal/privatefile"
	"whistlestop/internal/seats"
	"whistlestop/internal/web"
	"whistlestop/ui"
)

// serveFlags say where the bench is reached.
type serveFlags struct {
	Listen string `help:"Address to listen on; port 0 is any free one." default:"127.0.0.1:8480"`
	Lan    bool   `help:"Let other devices on the network in: listen on all addresses."`
}

// address is what to listen on.
func (f serveFlags) address() (string, error) {
	if !f.Lan {
		return f.Listen, nil
	}
	_, port, err := net.SplitHostPort(f.Listen)
	if err != nil {
		return "", &listenError{address: f.Listen, err: err}
	}
	return net.JoinHostPort("", port), nil
}

// serve starts the server and prints where it is. The addresses name the game if
// one is given.
func (p *Program) serve(ctx context.Context, flags serveFlags, game string) error {
	listen, err := flags.address()
	if err != nil {
		return err
	}
	listener, err := (&net.ListenConfig{}).Listen(ctx, "tcp", listen)
	if err != nil {
		return &listenError{address: listen, err: err}
	}
	p.address = listener.Addr()
	name, _, err := net.SplitHostPort(listen)
	if err != nil {
		return errors.Join(&listenError{address: listen, err: err}, listener.Close())
	}
	own := lan.NewAddresses()
	clock := bench.SteadyClock()
	p.copies = mirror.New(p.store, durable.System(), p.logger, clock.Now, p.copyTo...)
	p.live = bench.New(p.copies, clock, bench.ULIDs(), p.logger)
	p.live.MindSleep(bench.Asleep)
	p.pages = web.New(web.Config{
		Bench: p.live, Seats: p.seats(), Words: locale.English(), Pages: ui.Files(), Logger: p.logger,
		Cards: cardfolder.New(filepath.Join(p.folder, "cards"), demo.Card()), Print: printCard,
		Own: own.Has, Host: name, QR: lan.QR, Copies: p.copyState, ReadCopy: readCopy,
		Reach: func() (string, bool) { return reach(name, listener.Addr(), own) },
	})
	p.server = &http.Server{Handler: p.pages, ErrorLog: slog.NewLogLogger(p.logger.Handler(), slog.LevelWarn)}
	web.Limits(p.server)
	p.server.RegisterOnShutdown(p.pages.Close)
	p.failed = make(chan error, 1)
	go func() {
		if err := p.server.Serve(p.pages.Gate(listener)); !errors.Is(err, http.ErrServerClosed) {
			p.failed <- err
		}
		close(p.failed)
	}()
	benchHost, wallHost := hosts(name, listener.Addr(), own)
	if game != "" {
		game = "/" + game
	}
	_, err = fmt.Fprintf(p.Out, "bench http://%s/bench%s\nwall http://%s/wall%s\n", benchHost, game, wallHost, game)
	if err != nil {
		return err
	}
	p.logger.Info("serving", "address", listener.Addr().String(), "folder", p.folder)
	return nil
}

// seats returns the register of the seats, with those that were paired before
// the program was started.
func (p *Program) seats() *seats.Register {
	file := privatefile.At(filepath.Join(p.folder, "seats.json"))
	register := seats.New(seats.Config{Now: p.live.Now, Random: rand.Reader, Keep: file.Write})
	saved, err := file.Read()
	if err == nil && saved != nil {
		err = register.Restore(saved)
	}
	if err != nil {
		// The games go on; every device has to be let in again.
		p.logger.Error("the seats of before cannot be read", "error", err)
	}
	return register
}

// hosts returns the hosts of the two printed addresses. Where the program listens
// everywhere, the bench is on this machine, and the Wall where others reach it.
func hosts(name string, address net.Addr, own *lan.Addresses) (bench, wall string) {
	tcp, ok := address.(*net.TCPAddr)
	if !ok {
		return address.String(), address.String()
	}
	port := strconv.Itoa(tcp.Port)
	if !everywhere(name) {
		host := net.JoinHostPort(name, port)
		return host, host
	}
	bench = net.JoinHostPort("127.0.0.1", port)
	if outward, found := own.Outward(); found {
		return bench, net.JoinHostPort(outward.String(), port)
	}
	return bench, bench
}

// everywhere reports whether the name that is listened on means every address.
func everywhere(name string) bool {
	ip, err := netip.ParseAddr(name)
	return name == "" || err == nil && ip.IsUnspecified()
}

// reach returns the address by which other devices reach the bench, and whether
// there is one.
func reach(name string, address net.Addr, own *lan.Addresses) (string, bool) {
	_, host := hosts(name, address, own)
	bare, _, err := net.SplitHostPort(host)
	if err != nil {
		return "", false
	}
	ip, err := netip.ParseAddr(bare)
	return "http://" + host, err == nil && !ip.IsLoopback() || err != nil && bare != "localhost"
}
