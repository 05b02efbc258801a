package main

import (
	"context"
	"crypto/rand"
	"errors"
	"log/slog"
	"net/http"
	"net/netip"
	"os"
	"path/filepath"
	"sync"

	"whistlestop/game/entry"
	"whistlestop/internal/api/laptop"
	"whistlestop/internal/bench"
	"whistlestop/internal/demo"
	"whistlestop/internal/folder/cards"
	"whistlestop/internal/folder/divisions"
	"whistlestop/internal/folder/privatefile"
	"whistlestop/internal/folder/wallpicture"
	"whistlestop/internal/lan"
	"whistlestop/internal/mirror"
	"whistlestop/internal/seats"
	"whistlestop/internal/web"
	"whistlestop/ui"
)

// The files beside the games.
const (
	teamsFile       = "teams.json"
	seatsFile       = "seats.json"
	formersFile     = "former-seats.json" // whose seat was taken away lately
	handedFile      = "handed.json"       // what phones handed over after their seat was taken away
	certificateFile = "certificate.pem"
)

// serve starts the server and prints where it is. The addresses name the game if
// one is given.
func (p *Program) serve(ctx context.Context, flags serveFlags, game string) error {
	own := lan.NewAddresses()
	listeners, err := openListeners(ctx, flags, own)
	if err != nil {
		return err
	}
	p.address, p.inside = listeners.plain.Addr(), listeners.inside()
	computer, err := os.Hostname()
	if err != nil {
		computer = ""
	}
	listeners.local = lan.LocalName(computer + " " + p.folder)
	p.assemble(surroundings{own: own.Has, hosts: listeners.hosts(), reach: listeners.reach})
	certificates := p.certificates(listeners)
	fingerprint := ""
	if listeners.secure != nil {
		if fingerprint, err = certificates.Fingerprint(); err != nil {
			return errors.Join(&folderError{folder: p.folder, err: err}, listeners.close())
		}
	}
	p.listen(listeners, certificates)
	p.compareAll()
	p.announce(listeners, flags.QuietLan)
	if err := listeners.print(p.Out, p.words, game, fingerprint); err != nil {
		return err
	}
	p.logger.Info("serving", "address", p.address.String(), "folder", p.folder)
	return nil
}

// surroundings are what the server knows of the network that it is on.
type surroundings struct {
	own   func(netip.Addr) bool // whether an address is this machine's
	hosts []string              // further names by which it is reached
	reach func() (address string, shared bool)
}

// assemble puts ledgers, copies, bench and server together. Nothing listens yet.
func (p *Program) assemble(around surroundings) {
	clock := p.beginTime()
	var ledgers mirror.Log = p.store
	if p.first != nil {
		ledgers = p.first
	}
	if p.proposals == nil { // a demonstration has no copies
		p.beginProposals()
	}
	p.copies = mirror.New(ledgers, p.systemDisk(), p.logger, clock.Now, p.marks, p.copyTo...)
	p.paired = p.sendToHub(clock.Now)
	p.live = bench.New(sent{p.copies, p.paired}, clock, bench.ULIDs(), p.logger)
	p.paired.EndNames(p.live.EndNames)
	p.live.MindIndex(p.store)
	p.lists.Store(p.live)
	p.live.MindSleep(bench.Asleep)
	p.live.MindRestart(p.since())
	p.mindWithdrawn()
	p.keepTime()
	p.proposals.Over(p.live)
	service := p.paperwork(laptop.Service{
		Bench: p.live, Seats: p.seats(), Languages: p.languages(), Logger: p.logger,
		Cards: cards.New(filepath.Join(p.folder, "cards"), demo.Card()), Print: printCard,
		Pictures:  wallpicture.At(filepath.Join(p.folder, "wall-picture")),
		Divisions: divisions.New(filepath.Join(p.folder, "divisions")),
		QR:        lan.QR, Reach: around.reach, Healthy: (&health{program: p}).check,
		Copies: p.copyState, Hub: p.paired, ReadCopy: p.readCopy, Proposals: p.proposals,
	})
	desk := p.crewService(around.reach)
	onDuty := p.dutyService(desk)
	service.Crew, service.Duties = desk, onDuty
	service.Season = p.seasonService(service.Teams, onDuty) // one book of teams
	p.pages = web.New(web.Config{Service: service, Pages: ui.Files(), Own: around.own, Hosts: around.hosts})
}

// listen serves at all listeners.
func (p *Program) listen(listeners *listeners, certificates *lan.Certificates) {
	p.server = &http.Server{
		Handler: p.pages, ErrorLog: slog.NewLogLogger(p.logger.Handler(), slog.LevelWarn),
		TLSConfig: certificates.Config(),
	}
	web.Limits(p.server)
	p.server.RegisterOnShutdown(p.pages.Close)
	p.failed = make(chan error, 2)
	var serving sync.WaitGroup
	serve := func(how func() error) {
		serving.Go(func() {
			if err := how(); !errors.Is(err, http.ErrServerClosed) {
				p.failed <- err
			}
		})
	}
	serve(func() error { return p.server.Serve(p.pages.Bounded(listeners.plain)) })
	if listeners.secure != nil {
		serve(func() error { return p.server.ServeTLS(p.pages.Bounded(listeners.secure), "", "") })
	}
	go func() {
		serving.Wait()
		close(p.failed)
	}()
}

// announce tells the network where the bench is, while the program runs.
func (p *Program) announce(listeners *listeners, quiet bool) {
	what, reached := listeners.announcement()
	if !reached || quiet {
		return
	}
	what.Trouble = func(err error) {
		p.logger.Warn("the bench is not announced on the network; its address works all the same", "error", err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan struct{})
	go func() {
		defer close(done)
		listeners.own.Announce(ctx, what)
	}()
	p.quiet = func() { cancel(); <-done }
}

// seats returns the register of the seats, with those that were paired before
// the program was started.
func (p *Program) seats() *seats.Register {
	file := privatefile.At(filepath.Join(p.folder, seatsFile))
	own := func() entry.Millis { return p.start.OwnAt(p.live.Now()) }
	handed := privatefile.At(filepath.Join(p.folder, handedFile))
	formers := privatefile.At(filepath.Join(p.folder, formersFile))
	register := seats.New(seats.Config{
		Now: own, Shown: p.start.Now - p.start.Own, Random: rand.Reader, Keep: file.Write, KeepHanded: handed.Write, KeepFormers: formers.Write,
	})
	saved, err := file.Read()
	if err == nil && saved != nil {
		err = register.Restore(saved)
	}
	if err != nil {
		// The games go on; every device has to be let in again.
		p.logger.Error("the seats of before cannot be read", "error", err)
	}
	if saved, err = formers.Read(); err == nil && saved != nil {
		err = register.RestoreFormers(saved)
	}
	if err != nil {
		p.logger.Error("whose seat was taken away before cannot be read", "file", formersFile, "error", err)
	}
	if saved, err = handed.Read(); err == nil && saved != nil {
		err = register.RestoreHanded(saved)
	}
	if err != nil {
		p.logger.Error("what phones handed over cannot be read", "file", handedFile, "error", err)
	}
	return register
}

// certificates returns the local certificate, which is kept beside the games.
func (p *Program) certificates(listeners *listeners) *lan.Certificates {
	file := privatefile.At(filepath.Join(p.folder, certificateFile))
	return lan.NewCertificates(file.Read, file.Write, func() []string {
		hosts := listeners.hosts()
		for _, address := range listeners.own.All() {
			hosts = append(hosts, address.String())
		}
		return hosts
	})
}
