package main

import (
	"cmp"
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"runtime/debug"
	"strings"
	"sync"
	"time"

	"whistlestop/game/message"
	"whistlestop/internal/api/crew"
	"whistlestop/internal/folder/privatefile"
	"whistlestop/internal/hub/crews"
	"whistlestop/internal/hub/live"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/people"
	"whistlestop/internal/hub/rooms"
	"whistlestop/internal/hub/site"
	hubstore "whistlestop/internal/hub/sqlite"
	"whistlestop/internal/hub/traces"
	"whistlestop/internal/hub/turns"
	"whistlestop/internal/lan"
	"whistlestop/internal/mail/submit"
	"whistlestop/ui"
)

type hubCommand struct {
	Serve   hubServeCommand   `cmd:"" default:"withargs"`
	Link    hubLinkCommand    `cmd:""`
	Send    hubSendCommand    `cmd:""`
	Backup  hubBackupCommand  `cmd:""`
	Restore hubRestoreCommand `cmd:""`
	Demo    hubDemoCommand    `cmd:""`
	Heads   hubHeadsCommand   `cmd:""`
	Prepare hubPrepareCommand `cmd:""`
	Node    hubNodeCommand    `cmd:""`
	Keys    hubKeysCommand    `cmd:""`
	Proof   hubProofCommand   `cmd:""`

	Association hubAssociationCommand `cmd:""`
}

type hubServeCommand struct {
	Data        string `type:"path"`
	Listen      string `default:"127.0.0.1:8490"`
	Address     string
	Name        string
	Certificate string `type:"path"`
	Key         string `type:"path"`
	Postgres    string
	Nats        string
	NatsKeys    string `type:"existingdir"`
	Metrics     string
	Traces      string
	TracesShare float64 `default:"0.01"`
	OIDC        string  `name:"oidc" type:"existingfile"`
	Push        string
	mailFlags
}

type hubLinkCommand struct {
	Data        string `type:"path"`
	Association string
	Postgres    string
	Address     string
}

// hubAddressFile is where a hub that is running says by which address it is reached, for
// commands beside it.
const hubAddressFile = "address" + ".txt"

// runHub carries out a command about a hub.
func (p *Program) runHub(ctx context.Context, command string, c hubCommand) error {
	switch subcommand(command) {
	case "link":
		return p.hubLink(ctx, c.Link)
	case "association":
		return p.hubAssociation(ctx, c.Association)
	case "send":
		return p.hubSend(ctx, c.Send)
	case "backup":
		return p.hubBackUp(ctx, c.Backup)
	case "restore":
		return p.hubRestore(ctx, c.Restore)
	case "heads":
		return p.hubHeads(ctx, c.Heads)
	case "demo":
		return p.hubDemo(ctx, c.Demo)
	case "node":
		return p.hubNode(c.Node)
	case "proof":
		return p.hubProof(c.Proof)
	case "keys":
		return p.hubKeys(c.Keys)
	case "prepare":
		return p.hubPrepare(ctx, c.Prepare)
	default:
		return p.hubServe(ctx, c.Serve)
	}
}

// hubFolder takes the folder of a hub, or the user's own if none is given.
func (p *Program) hubFolder(data string) error { return p.folderOr(data, "whistlestop-hub") }

// association is a hub that is running.
type association struct {
	store   hubStore
	file    *hubstore.Store // of a hub in a folder
	nation  *national       // of a hub that is one of several over one database
	folder  string          // of a hub in a folder, or what one of several was given; empty: none
	crews   *crews.Desks    // of a hub that is served
	post    *submit.Post    // sends letters; nil: nobody does
	push    crew.Pusher     // sends reminders to devices; nil: nobody does
	letters *couriers       // of the desks
	shown   gamesShown
	rooms   *rooms.Rooms   // of a hub that is served
	figures *http.Server   // for graphs; nil: nobody asked for them
	traces  *traces.Traces // of some requests; nil: nobody asked for them
	office  *office.Office
	id      string
	people  *people.Desk
	front   *site.Front
	server  *http.Server
	drains  time.Duration // for requests under way when it ends
	address string        // by which others reach it

	followed chainsFollowed // what came of following every chain

	listing  sync.Mutex     // of who writes the list of deletions
	house    sync.WaitGroup // what is done once a day
	endHouse context.CancelFunc
}

// collectAt is how much garbage a hub holds beside what is alive, in percent: most of that
// are connections of families, of which it makes little, so to collect more often costs a
// hundredth of a core and spares a tenth of the memory (measured with 10,000).
const collectAt = 50

// hubServe serves the hub of a folder, which is made if it is not there.
func (p *Program) hubServe(ctx context.Context, c hubServeCommand) error {
	if (c.Certificate == "") != (c.Key == "") {
		return message.New("hub.command.both")
	}
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(collectAt)
	}
	if err := p.openHub(ctx, c); err != nil {
		return err
	}
	store := p.hub.store
	var err error
	if p.hub.id, err = p.foundAssociation(ctx, c.Name); err != nil {
		return &folderError{folder: p.folder, err: err}
	}
	listener, err := hubListener(ctx, c.Listen)
	if err != nil {
		return err
	}
	p.hub.address = hubAddress(c, listener.Addr())
	p.hub.office = office.New(store, p.hub.id, office.Now, rand.Reader)
	p.hub.people = people.New(store, p.hub.id, office.Now, rand.Reader)
	if p.hub.folder != "" { // the database may be an older copy
		if _, err := p.applyDeletions(ctx); err != nil {
			return errors.Join(err, listener.Close())
		}
	}
	p.hub.crews = p.hub.crewsOf(p)
	signIns := p.hub.signIns(p)
	other, err := otherService(c.OIDC, p.hub.address)
	if err != nil {
		return errors.Join(err, listener.Close())
	}
	p.hub.rooms = rooms.New(rooms.Config{Asker: p.hub.nation.asker(), Now: office.Now, Random: rand.Reader})
	p.hub.front, err = site.NewFront(ctx, store, office.Now, func(a office.Association) *site.Site {
		season := p.hub.seasonAt(a.ID)
		games := live.New(live.Config{Store: store, Association: a.ID, Now: office.Now, Logger: p.logger, Named: season.names.Of})
		p.hub.shown.add(a.ID, games)
		return site.New(site.Config{
			Store: store, Office: office.New(store, a.ID, office.Now, rand.Reader), People: people.New(store, a.ID, office.Now, rand.Reader),
			Live: games, Association: a.ID, Address: p.hub.address, Now: office.Now, Logger: p.logger, Languages: p.languages(), Pages: ui.Files(), QR: lan.QR,
			Report:  writeHubReport,
			Crews:   p.hub.crews,
			Seasons: season.of(games, p.logger), Names: season.names,
			Rooms:  p.hub.rooms,
			Sender: signIns,
			Other:  other,
			Outbox: p.hub.nation.outbox(), BusAway: p.hub.nation.away,
			Around:  around(p.hub.traces),
			Checked: p.hub.followed.last,
			Roots:   p.hub.roots(a.ID),
			Forgot:  p.forgot,
		})
	})
	if err != nil {
		return errors.Join(&folderError{folder: p.folder, err: err}, listener.Close())
	}
	if err := p.hubJoins(); err != nil {
		return errors.Join(err, listener.Close())
	}
	handler, err := p.hub.measured(ctx, p, c.Metrics)
	if err != nil {
		return errors.Join(err, listener.Close())
	}
	p.hub.serve(p, listener, c, handler)
	p.keepHouse()
	p.hub.wakeCrews(ctx, p)
	if _, err := fmt.Fprintf(p.Out, "hub %s/\n", p.hub.address); err != nil {
		return err
	}
	return p.firstLink(ctx)
}

// openHub opens the database of a hub: the file in its folder, which is made if it is
// not there, or PostgreSQL.
func (p *Program) openHub(ctx context.Context, c hubServeCommand) error {
	post, err := p.post(c.mailFlags)
	if err != nil {
		return err
	}
	devices, err := p.devices(c.Push)
	if err != nil {
		return err
	}
	followed, err := p.traces(c)
	if err != nil {
		return err
	}
	if c.Postgres != "" {
		if err := p.openNational(ctx, c, followed); err != nil {
			return err
		}
		p.hub.post, p.hub.push, p.hub.traces = post, devices, followed
		return nil
	}
	if err := p.hubFolder(c.Data); err != nil {
		return err
	}
	file, err := hubstore.Open(ctx, p.folder)
	if err != nil {
		return &folderError{folder: p.folder, err: err}
	}
	p.hub = &association{store: file, file: file, folder: p.folder, post: post, push: devices, traces: followed, letters: newCouriers()}
	return nil
}

// hubJoins lets a hub be found: by the commands of its folder, or by the other processes.
func (p *Program) hubJoins() error {
	if p.hub.nation != nil {
		return p.hub.nation.join(p.logger, &p.hub.shown)
	}
	err := privatefile.At(filepath.Join(p.folder, hubAddressFile)).Write([]byte(p.hub.address))
	if err != nil {
		return &folderError{folder: p.folder, err: err}
	}
	return nil
}

// foundAssociation returns the id of the hub's association, which is made if there is none yet.
func (p *Program) foundAssociation(ctx context.Context, name string) (string, error) {
	if p.hub.nation != nil {
		return p.foundNational(ctx, name)
	}
	all, err := p.hub.store.Associations(ctx)
	if err != nil || len(all) > 0 && (name == "" || name == all[0].Name) {
		return first(all), err
	}
	one := office.Association{ID: cmp.Or(first(all), newAssociation()), Name: cmp.Or(name, p.words.say("hub.command.unnamed")), Made: office.Now()}
	notes := office.New(p.hub.store, one.ID, office.Now, rand.Reader)
	if len(all) == 0 {
		return one.ID, p.begun(ctx, one, notes)
	}
	return one.ID, p.hub.store.Found(ctx, one, notes.Note(office.Here, "renamed", one.ID, ""))
}

func first(all []office.Association) string {
	if len(all) == 0 {
		return ""
	}
	return all[0].ID
}

// hubAddress is the address by which others reach the hub: the one that is given, or
// else the one at which it listens.
func hubAddress(c hubServeCommand, at net.Addr) string {
	if c.Address != "" {
		return strings.TrimRight(c.Address, "/")
	}
	scheme := "http"
	if c.Certificate != "" {
		scheme = "https"
	}
	host, _, err := net.SplitHostPort(c.Listen)
	if err != nil || everywhere(host) {
		if host = "127.0.0.1"; err == nil {
			if outward, found := lan.NewAddresses().Outward(); found {
				host = outward.String()
			}
		}
	}
	return scheme + "://" + net.JoinHostPort(host, portOf(at))
}

// serve answers at a listener.
func (a *association) serve(p *Program, listener net.Listener, c hubServeCommand, handler http.Handler) {
	a.server = &http.Server{Handler: handler, ErrorLog: slog.NewLogLogger(p.logger.Handler(), slog.LevelWarn)}
	site.Limits(a.server)
	a.server.RegisterOnShutdown(a.front.Close)
	a.drains = drains(c)
	failed := make(chan error, 1)
	p.failed = failed
	go func() {
		defer close(failed)
		var err error
		if c.Certificate != "" {
			err = a.server.ServeTLS(turns.Listen(listener), c.Certificate, c.Key)
		} else {
			err = a.server.Serve(listener)
		}
		if !errors.Is(err, http.ErrServerClosed) {
			failed <- err
		}
	}()
}

// drainWithin is how long requests under way may take where others answer meanwhile.
const drainWithin = time.Minute

// drains is how long requests under way may take when the hub ends. A hub that is alone, or
// whose address is held open for the next one, has everybody waiting until it is gone.
func drains(c hubServeCommand) time.Duration {
	if c.Nats != "" && c.Listen != heldOpen {
		return drainWithin
	}
	return closeWithin
}

// close ends the hub: streams, requests under way, games, database.
func (a *association) close() error {
	var errs []error
	if a.server != nil {
		errs = append(errs, stop(a.server, a.drains))
		if a.figures != nil {
			errs = append(errs, stop(a.figures, closeWithin))
		}
		a.front.Close()
	}
	if a.endHouse != nil {
		a.endHouse()
		a.house.Wait()
	}
	if a.letters != nil {
		a.letters.close()
	}
	if a.crews != nil {
		errs = append(errs, a.crews.Close())
	}
	errs = append(errs, a.nation.close()) // which looks at games
	if a.server != nil {
		a.front.Wait()
	}
	errs = append(errs, a.endTraces())
	return errors.Join(append(errs, a.store.Close())...)
}

// firstLink prints a link that opens the hub's pages once, as long as nobody is signed
// in.
func (p *Program) firstLink(ctx context.Context) error {
	signedIn, err := p.hub.people.SignedIn(ctx)
	if err != nil || signedIn {
		return err
	}
	return p.printLink(ctx, p.hub.office, p.hub.address)
}

func (p *Program) printLink(ctx context.Context, desk *office.Office, address string) error {
	secret, _, err := desk.Issue(ctx, office.First, "", office.FirstLasts, office.By{Who: office.Here})
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(p.Out, "admin %s/first/%s\n%s\n", address, secret, p.words.say("hub.command.first"))
	return err
}

// besideHub opens the hub of a folder, which may be running, and its office.
func (p *Program) besideHub(ctx context.Context, data string) (*office.Office, error) {
	if err := p.hubFolder(data); err != nil {
		return nil, err
	}
	store, err := hubstore.OpenBeside(ctx, p.folder)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, message.New("hub.command.none", "folder", p.folder)
	}
	if err != nil {
		return nil, &folderError{folder: p.folder, err: err}
	}
	p.hub = &association{store: store, file: store}
	all, err := store.Associations(ctx)
	if err != nil || len(all) == 0 {
		return nil, message.New("hub.command.none", "folder", p.folder)
	}
	p.hub.id = first(all)
	return office.New(store, p.hub.id, office.Now, rand.Reader), nil
}
