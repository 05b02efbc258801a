package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/netip"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"time"

	"github.com/alecthomas/kong"

	"whistlestop/internal/bench"
	"whistlestop/internal/cardfolder"
	"whistlestop/internal/demo"
	"whistlestop/internal/lan"
	"whistlestop/internal/locale"
	"whistlestop/internal/store/sqlite"
	"whistlestop/internal/web"
	"whistlestop/ui"
)

// version is set by the build of a release.
var version = "development"

// closeWithin is how long requests under way may take when the program closes.
const closeWithin = 5 * time.Second

// commands are the command line.
type commands struct {
	Bench   benchCommand   `cmd:"" help:"Run the bench. Games are kept in one folder."`
	Demo    demoCommand    `cmd:"" help:"Run the bench with an invented game."`
	Version versionCommand `cmd:"" help:"Print the version."`

	Codes     codesCommand     `cmd:"" help:"List the rule books that the program follows, or one in full, with rules and sources."`
	Divisions divisionsCommand `cmd:"" help:"List the divisions, print the file of one, or check a file of your own."`
	Card      cardCommand      `cmd:"" help:"Check or print a rink card: the steps of a rink's own console."`
	Why       whyCommand       `cmd:"" help:"Explain the box, the strength and the score of a game at a moment."`
	Totals    totalsCommand    `cmd:"" help:"Print the official totals of a game, by side and player."`
}

type benchCommand struct {
	Data   string `help:"Folder that keeps the games; your own folder for settings if not given." type:"path"`
	Listen string `help:"Address to listen on; port 0 is any free one." default:"127.0.0.1:8480"`
}

type demoCommand struct {
	Moment string `help:"Moment of the game: warm-up, power-play, coincidental, third-period, overtime." default:"warm-up"`
	Data   string `help:"Empty folder to keep the game in; a temporary one if not given." type:"path"`
	Listen string `help:"Address to listen on; port 0 is any free one." default:"127.0.0.1:8480"`
}

type versionCommand struct{}

// Program is the whole program as a value, so that tests run the real thing.
// Out gets what it prints, Log what it logs.
type Program struct {
	Out io.Writer
	Log io.Writer

	logger  *slog.Logger
	folder  string // of the games
	remove  bool   // the folder is temporary
	store   *sqlite.Store
	live    *bench.Bench
	pages   *web.Server
	server  *http.Server
	failed  chan error // of the HTTP server
	address net.Addr
}

// Run carries out a command. A command that serves has started when Run returns;
// Wait waits for its end. The program must be closed in any case.
func (p *Program) Run(ctx context.Context, arguments []string) error {
	p.logger = slog.New(slog.NewTextHandler(p.Log, nil))
	var line commands
	exited := false
	parser, err := kong.New(&line, kong.Name("whistlestop"),
		kong.Description("The off-ice bench of an ice hockey game: clock, penalty box, score, public display."),
		kong.Writers(p.Out, p.Log), kong.Exit(func(int) { exited = true }))
	if err != nil {
		return err
	}
	command, err := parser.Parse(arguments)
	if exited { // help was printed
		return nil
	}
	if err != nil {
		return err
	}
	switch name, _, _ := strings.Cut(command.Command(), " "); name {
	case "codes":
		return p.codes(line.Codes)
	case "divisions":
		return p.divisions(line.Divisions)
	case "card":
		if strings.HasPrefix(command.Command(), "card print") {
			return p.writeCard(line.Card.Print)
		}
		return p.checkCard(line.Card.Check)
	case "why":
		return p.why(line.Why)
	case "totals":
		return p.totals(line.Totals)
	case "version":
		_, err := fmt.Fprintf(p.Out, "whistlestop %s %s %s/%s\n", version, runtime.Version(), runtime.GOOS, runtime.GOARCH)
		return err
	case "demo":
		return p.demo(ctx, line.Demo)
	default:
		return p.bench(ctx, line.Bench)
	}
}

// bench serves the games of a folder.
func (p *Program) bench(ctx context.Context, c benchCommand) error {
	p.folder = c.Data
	if p.folder == "" {
		settings, err := os.UserConfigDir()
		if err != nil {
			return &folderError{folder: "", err: err}
		}
		p.folder = filepath.Join(settings, "whistlestop")
	}
	if err := p.openStore(ctx); err != nil {
		return err
	}
	return p.serve(ctx, c.Listen, "")
}

// openStore opens the folder's ledgers.
func (p *Program) openStore(ctx context.Context) error {
	s, err := sqlite.Open(ctx, p.folder)
	if err != nil {
		return &folderError{folder: p.folder, err: err}
	}
	p.store = s
	return nil
}

// serve starts the server and prints where it is. The addresses name the game if
// one is given.
func (p *Program) serve(ctx context.Context, listen, game string) error {
	listener, err := (&net.ListenConfig{}).Listen(ctx, "tcp", listen)
	if err != nil {
		return &listenError{address: listen, err: err}
	}
	p.address = listener.Addr()
	own := lan.NewAddresses()
	name, _, err := net.SplitHostPort(listen)
	if err != nil {
		return errors.Join(&listenError{address: listen, err: err}, listener.Close())
	}
	p.live = bench.New(p.store, bench.SteadyClock(), bench.ULIDs(), p.logger)
	p.pages = web.New(web.Config{
		Bench: p.live, Cards: cardfolder.New(filepath.Join(p.folder, "cards"), demo.Card()), Print: printCard, Pages: ui.Files(), Words: locale.English(), Own: own.Has, Host: name, Logger: p.logger,
	})
	p.server = &http.Server{Handler: p.pages, ErrorLog: slog.NewLogLogger(p.logger.Handler(), slog.LevelWarn)}
	web.Limits(p.server)
	p.server.RegisterOnShutdown(p.pages.Close)
	p.failed = make(chan error, 1)
	go func() {
		if err := p.server.Serve(listener); !errors.Is(err, http.ErrServerClosed) {
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

// hosts returns the hosts of the two printed addresses. Where the program listens
// everywhere, the bench is on this machine, and the Wall where others reach it.
func hosts(name string, address net.Addr, own *lan.Addresses) (bench, wall string) {
	tcp, ok := address.(*net.TCPAddr)
	if !ok {
		return address.String(), address.String()
	}
	port := strconv.Itoa(tcp.Port)
	if name != "" {
		if ip, err := netip.ParseAddr(name); err != nil || !ip.IsUnspecified() {
			host := net.JoinHostPort(name, port)
			return host, host
		}
	}
	bench = net.JoinHostPort("127.0.0.1", port)
	if outward, found := own.Outward(); found {
		return bench, net.JoinHostPort(outward.String(), port)
	}
	return bench, bench
}

// Wait waits until ctx is done or the server fails. It returns at once when
// nothing is served.
func (p *Program) Wait(ctx context.Context) error {
	if p.failed == nil {
		return nil
	}
	select {
	case <-ctx.Done():
		return nil
	case err := <-p.failed:
		return err
	}
}

// Close ends the program in order: streams, requests under way, games, database.
func (p *Program) Close() error {
	var errs []error
	if p.server != nil {
		ctx, cancel := context.WithTimeout(context.Background(), closeWithin)
		defer cancel()
		if err := p.server.Shutdown(ctx); err != nil {
			errs = append(errs, err, p.server.Close())
		}
		p.pages.Close()
		for err := range p.failed {
			errs = append(errs, err)
		}
	}
	if p.live != nil {
		p.live.Close()
	}
	if p.store != nil {
		errs = append(errs, p.store.Close())
	}
	if p.remove {
		errs = append(errs, os.RemoveAll(p.folder))
	}
	return errors.Join(errs...)
}
