package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"github.com/alecthomas/kong"

	"whistlestop/game/rules"
	"whistlestop/internal/api/crew"
	"whistlestop/internal/bench"
	"whistlestop/internal/folder/durable"
	"whistlestop/internal/hub/busnode"
	"whistlestop/internal/hub/postgres/private"
	"whistlestop/internal/locale"
	"whistlestop/internal/mail/submit"
	"whistlestop/internal/mirror"
	"whistlestop/internal/outbox"
	"whistlestop/internal/proposal"
	"whistlestop/internal/restart"
	"whistlestop/internal/store/sqlite"
	"whistlestop/internal/web"
	"whistlestop/internal/withdrawal"
)

// version is set by the build of a release.
var version = "development"

// closeWithin is how long requests under way may take when the program closes.
const closeWithin = 5 * time.Second

// commands are the command line.
type commands struct {
	Language string
	LogJSON  bool `name:"log-json"`

	Bench   benchCommand   `cmd:""`
	Desk    deskCommand    `cmd:""`
	Hub     hubCommand     `cmd:""`
	Demo    demoCommand    `cmd:""`
	Version versionCommand `cmd:""`

	Codes     codesCommand        `cmd:""`
	Divisions divisionsCommand    `cmd:""`
	Backup    backupCommand       `cmd:""`
	Restore   restoreCommand      `cmd:""`
	EndNames  endNamesCommand     `cmd:"" name:"end-names"`
	Withdraw  withdrawCommand     `cmd:""`
	Card      cardCommand         `cmd:""`
	Why       whyCommand          `cmd:""`
	Check     checkCommand        `cmd:""`
	Totals    totalsCommand       `cmd:""`
	Season    seasonCommand       `cmd:""`
	Crew      crewCommand         `cmd:""`
	Report    reportCommand       `cmd:""`
	Roster    rosterCommand       `cmd:""`
	Practice  practiceCommand     `cmd:""`
	Site      practiceSiteCommand `cmd:""`
	Keys      keysCommand         `cmd:""`
	Verify    verifyCommand       `cmd:""`
}

type benchCommand struct {
	Data string   `type:"path"`
	Copy []string `type:"path"`
	Hub  string
	serveFlags
}

type demoCommand struct {
	Moment string `default:"warm-up"`
	Data   string `type:"path"`
	Hub    string
	serveFlags
}

type versionCommand struct{}

// Program is the whole program as a value, so that tests run the real thing.
// Out gets what it prints, Log what it logs.
type Program struct {
	Out    io.Writer
	Log    io.Writer
	Getenv func(string) string // of the surroundings; nil: the system's
	Spoken *locale.Spoken      // the languages; nil: those that come with the program
	Browse func(string) error  // opens a page in the browser; nil: the system's

	words words // of the language that it speaks

	logger     *slog.Logger
	folder     string // of the games
	remove     bool   // the folder is temporary
	store      *sqlite.Store
	papers     *sqlite.Papers // of the crew's desk; nil: there is none
	pusher     crew.Pusher    // of tests, in place of push services
	mail       *submit.Post   // sends letters; nil: nobody does
	couriers   *couriers      // of the desk; nil: there are none
	inside     string         // the host by which this machine reaches the program
	copyTo     []string       // folders for further copies
	marks      *mirror.Marks  // of this bench's copies; nil: its key cannot be read
	heads      *mirror.Heads
	copies     *mirror.Mirror
	disk       durable.Disk // of the copies; nil: the system's
	comparing  *comparing   // of the games against their copies; nil: there are none
	first      *mirror.First
	compared   func()      // ends it; may be nil
	found      []rules.Say // what the copies said at the start
	foundMutex sync.Mutex
	proposals  *proposal.Proposals
	gone       *withdrawal.List  // what was taken out, as ids
	ended      *withdrawal.Ended // games whose names no copy has any more
	live       *bench.Bench
	lists      atomic.Pointer[bench.Bench] // live, once it is there
	clocks     func() restart.Reading      // the computer's; nil: the system's
	time       *restart.Keeper
	start      restart.Found // what is known of the time since the program ended
	timeKept   func()        // ends the keeping of the time; may be nil
	unplayed   bool          // no game was there before this start
	pages      *web.Server
	server     *http.Server
	failed     chan error // of the HTTP server
	quiet      func()     // ends the announcement on the network; may be nil
	address    net.Addr
	hub        *association     // that is served; nil: none is
	nodes      []*busnode.Node  // between the processes of a hub
	database   *private.Cluster // of a demonstration
	paired     *outbox.Pairing  // the hub that the bench sends its games to, if there is one
	others     []*Program       // benches of a demonstration, which this program started
}

// lists are the values of flags that are listed elsewhere.
func lists() kong.Vars { return kong.Vars{"exports": exports()} }

// Run carries out a command. A command that serves has started when Run returns;
// Wait waits for its end. The program must be closed in any case.
func (p *Program) Run(ctx context.Context, arguments []string) error {
	p.logger = slog.New(slog.NewTextHandler(p.Log, nil))
	p.chooseLanguage(arguments)
	if len(arguments) == 0 {
		return p.benchInBrowser(ctx)
	}
	var line commands
	exited := false
	parser, err := kong.New(&line, kong.Name("whistlestop"), lists(),
		kong.Help(p.words.printHelp), kong.Writers(p.Out, p.Log), kong.Exit(func(int) { exited = true }))
	if err != nil {
		return err
	}
	p.words.explainCommands(parser)
	command, err := parser.Parse(arguments)
	if exited { // help was printed
		return nil
	}
	if err != nil {
		return err
	}
	if line.LogJSON {
		p.logger = slog.New(slog.NewJSONHandler(p.Log, nil))
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
	case "check":
		return p.check(line.Check)
	case "season":
		return p.season(command.Command(), line.Season)
	case "crew":
		return p.crew(command.Command(), line.Crew)
	case "totals":
		return p.totals(line.Totals)
	case "backup":
		return p.backUp(ctx, line.Backup)
	case "restore":
		return p.restore(ctx, line.Restore)
	case "end-names":
		return p.endNames(ctx, line.EndNames)
	case "withdraw":
		return p.withdraw(ctx, line.Withdraw)
	case "report":
		return p.report(line.Report)
	case "roster":
		return p.checkRoster(line.Roster.Check)
	case "practice":
		return p.practice(command.Command(), line.Practice)
	case "site":
		return p.practiceSite(line.Site)
	case "keys":
		if strings.HasPrefix(command.Command(), "keys pin") {
			return p.pinKey(line.Keys.Pin)
		}
		return p.listKeys(line.Keys.List)
	case "verify":
		return p.verify(line.Verify)
	case "version":
		_, err := fmt.Fprintf(p.Out, "whistlestop %s %s %s/%s\n", version, runtime.Version(), runtime.GOOS, runtime.GOARCH)
		return err
	case "hub":
		return p.runHub(ctx, command.Command(), line.Hub)
	case "desk":
		return p.deskServe(ctx, line.Desk)
	case "demo":
		return p.demo(ctx, line.Demo)
	default:
		return p.bench(ctx, line.Bench)
	}
}

// bench serves the games of a folder.
func (p *Program) bench(ctx context.Context, c benchCommand) error {
	if err := p.inFolder(c.Data); err != nil {
		return err
	}
	if err := p.openStore(ctx); err != nil {
		return err
	}
	if err := p.prepareCopies(c.Copy); err != nil {
		return err
	}
	if err := p.pairHub(c.Hub); err != nil {
		return err
	}
	return p.serve(ctx, c.serveFlags, "")
}

// inFolder takes the folder of the games, or the user's own if none is given.
func (p *Program) inFolder(data string) error { return p.folderOr(data, "whistlestop") }

// folderOr takes a folder, or the one of that name among the user's own if none is given.
func (p *Program) folderOr(data, own string) error {
	p.folder = data
	if p.folder == "" {
		settings, err := os.UserConfigDir()
		if err != nil {
			return &folderError{folder: "", err: err}
		}
		p.folder = filepath.Join(settings, own)
	}
	return nil
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

// stop ends a server: requests under way may end, and what is open after that is cut. That
// is no error: a browser may have opened a connection and sent nothing on it, and what
// was acknowledged is on the disk.
func stop(server *http.Server, within time.Duration) error {
	ctx, cancel := context.WithTimeout(context.Background(), within)
	defer cancel()
	err := server.Shutdown(ctx)
	if errors.Is(err, context.DeadlineExceeded) {
		return server.Close()
	}
	return err
}

// Close ends the program in order: streams, requests under way, games, database.
func (p *Program) Close() error {
	errs := []error{p.closeOthers()}
	if p.quiet != nil {
		p.quiet()
	}
	if p.server != nil {
		errs = append(errs, stop(p.server, closeWithin))
		p.pages.Close()
		for err := range p.failed {
			errs = append(errs, err)
		}
	}
	if p.couriers != nil {
		p.couriers.close()
	}
	if p.timeKept != nil {
		p.timeKept()
	}
	if p.compared != nil {
		p.compared()
	}
	if p.live != nil {
		p.live.Close()
	}
	if p.paired != nil {
		p.paired.Close()
	}
	if p.copies != nil {
		p.copies.Close()
	}
	if p.hub != nil {
		errs = append(errs, p.hub.close())
	}
	for _, node := range p.nodes {
		node.Stop()
	}
	if p.database != nil {
		errs = append(errs, p.database.Stop())
	}
	if p.store != nil {
		errs = append(errs, p.store.Close())
	}
	if p.papers != nil {
		errs = append(errs, p.papers.Close())
	}
	if p.remove {
		errs = append(errs, os.RemoveAll(p.folder))
	}
	return errors.Join(errs...)
}
