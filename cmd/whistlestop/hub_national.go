package main

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"log/slog"
	"strings"
	"sync"
	"time"

	"github.com/jackc/pgx/v5"

	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/internal/folder/durable"
	"whistlestop/internal/hub/bus"
	"whistlestop/internal/hub/jetstream"
	"whistlestop/internal/hub/live"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/people"
	"whistlestop/internal/hub/postgres"
	"whistlestop/internal/hub/site"
	"whistlestop/internal/hub/traces"
	"whistlestop/internal/store"
)

// hubStore is all that a hub needs of its database, whichever that is.
type hubStore interface {
	site.Store
	office.Store
	people.Store
	live.Store
	io.Closer
	// Forks is how many games, of all associations, wait for somebody to choose.
	Forks(ctx context.Context) (int, error)
	// Stamp is another text whenever anything came in, or was done, of an association.
	Stamp(ctx context.Context, association string) (string, error)
}

type hubPrepareCommand struct {
	Postgres string `required:""`
}

// hubPrepare makes the tables of a hub in a PostgreSQL database, or brings them up to date.
func (p *Program) hubPrepare(ctx context.Context, c hubPrepareCommand) error {
	if err := postgres.Prepare(ctx, c.Postgres); err != nil {
		return message.Because(err, "hubnational.not_prepared")
	}
	p.print("hubnational.prepared")
	return nil
}

// openPostgres opens the database of a hub of many processes. The errors say what to do.
func openPostgres(ctx context.Context, url string, adjust ...func(*pgx.ConnConfig)) (*postgres.Store, error) {
	opened, err := postgres.Open(ctx, url, adjust...)
	var weak *store.WeakError
	switch {
	case err == nil:
		return opened, nil
	case errors.As(err, &weak):
		return nil, message.New("hubnational.weak", "setting", weak.Setting, "found", weak.Found, "needed", weak.Needed)
	case errors.Is(err, postgres.ErrBehind):
		return nil, message.New("hubnational.behind")
	default:
		return nil, message.Because(err, "hubnational.no_database")
	}
}

// national is what a hub has besides when it is one of several over one database.
type national struct {
	store *postgres.Store
	bus   bus.Bus
	late  *bus.Late // the same, between processes; nil: it is the only one
	alone *bus.Memory
	relay *bus.Relay
	stop  func() // ends following
	end   context.CancelFunc
	group sync.WaitGroup
}

// gamesShown is the games that a hub shows, by association.
type gamesShown struct {
	mutex sync.Mutex
	games map[string]*live.Games
}

func (g *gamesShown) add(association string, games *live.Games) {
	g.mutex.Lock()
	defer g.mutex.Unlock()
	if g.games == nil {
		g.games = map[string]*live.Games{}
	}
	g.games[association] = games
}

// of is those of an association; nil: they are not shown here.
func (g *gamesShown) of(association string) *live.Games {
	g.mutex.Lock()
	defer g.mutex.Unlock()
	return g.games[association]
}

func (g *gamesShown) each(do func(*live.Games)) {
	g.mutex.Lock()
	defer g.mutex.Unlock()
	for _, games := range g.games {
		do(games)
	}
}

// followers is how many follow a game now.
func (g *gamesShown) followers() (count int) {
	g.each(func(games *live.Games) { count += games.Followers() })
	return count
}

// join makes a hub one of the processes over its database: it publishes what the outbox
// has, and looks at its own games when something came into another one.
func (n *national) join(logger *slog.Logger, shown *gamesShown) (err error) {
	n.relay = &bus.Relay{Outbox: n.store, Bus: n.bus, Logger: logger}
	n.stop, err = n.bus.Follow(func(m bus.Message) {
		if games := shown.of(m.Association); games != nil {
			games.MovedElsewhere(m.Game)
		}
	}, func() { shown.each((*live.Games).MovedAll) })
	if err != nil {
		return err
	}
	ctx, end := context.WithCancel(context.Background())
	n.end = end
	n.group.Go(func() { n.relay.Run(ctx) })
	if poll := n.poll(logger, shown); n.late != nil {
		n.group.Go(func() { poll.Run(ctx) })
	}
	return nil
}

// asker carries what phones and benches say to each other between processes; within the
// one process where there is no other.
func (n *national) asker() bus.Asker {
	switch {
	case n == nil:
		return bus.NewMemory()
	case n.late != nil:
		return n.late
	default:
		return n.alone
	}
}

// outbox says what waits to be told to other hubs; nil: there are none.
func (n *national) outbox() func(context.Context) (int, time.Duration, error) {
	if n == nil {
		return nil
	}
	return n.store.Waiting
}

// close ends following and publishing. What was not published stays in the outbox.
func (n *national) close() error {
	if n == nil {
		return nil
	}
	if n.end != nil {
		n.stop()
		n.end()
		n.group.Wait()
	}
	return n.bus.Close()
}

// openNational opens a hub that is one of several over one database.
func (p *Program) openNational(ctx context.Context, c hubServeCommand, followed *traces.Traces) error {
	var adjust []func(*pgx.ConnConfig)
	if followed != nil {
		adjust = append(adjust, followed.Database)
	}
	opened, err := openPostgres(ctx, c.Postgres, adjust...)
	if err != nil {
		return err
	}
	alone := bus.NewMemory()
	nation := &national{store: opened, bus: alone, alone: alone}
	p.hub = &association{store: opened, nation: nation, folder: c.Data, letters: newCouriers()}
	if c.Data != "" {
		if err := durable.MakeFolder(c.Data); err != nil {
			return &folderError{folder: c.Data, err: err}
		}
	}
	if err := opened.JoinProcesses(ctx, c.Nats != ""); err != nil {
		if errors.Is(err, postgres.ErrNotAlone) {
			return message.New("hubnational.not_alone")
		}
		return message.Because(err, "hubnational.no_database")
	}
	if c.Nats == "" {
		return nil
	}
	keys, err := p.keysIn(c.NatsKeys)
	if err != nil {
		return err
	}
	opening := jetstream.Config{URL: c.Nats, Keys: keys, Logger: p.logger, Refill: func(ctx context.Context, publish func(context.Context, []bus.Message) error) error {
		return opened.Republish(ctx, office.Now()-entry.Millis(jetstream.KeptFor.Milliseconds()), publish)
	}}
	nation.late = bus.NewLate(func(ctx context.Context) (bus.Bus, error) { return jetstream.Open(ctx, opening) }, p.logger)
	nation.bus = nation.late
	// What is weak is refused as soon as it is known; nodes that are away are not waited
	// for, because benches are answered without them.
	first, cancel := context.WithTimeout(ctx, busWithin)
	defer cancel()
	var weak *jetstream.WeakError
	var plain *jetstream.PlainError
	switch err := nation.late.First(first); {
	case errors.As(err, &weak):
		return message.New("hubnodes.weak", "setting", weak.Setting, "found", weak.Found, "needed", weak.Needed)
	case errors.As(err, &plain):
		return message.New("hubnodes.plain", "host", plain.Host)
	}
	return nil
}

// busWithin is how long a hub that starts waits for the nodes (ours).
const busWithin = 10 * time.Second

// foundNational returns the id of the association of a name, which is made if there is
// none. Several processes that begin it at once mean the same one: its id is made of its
// name.
func (p *Program) foundNational(ctx context.Context, name string) (string, error) {
	all, err := p.hub.store.Associations(ctx)
	if err != nil {
		return "", message.Because(err, "hubnational.no_database")
	}
	for _, one := range all {
		if name == "" || name == one.Name {
			return one.ID, nil
		}
	}
	if name == "" {
		name = p.words.say("hub.command.unnamed")
	}
	sum := sha256.Sum256([]byte(name))
	one := office.Association{ID: hex.EncodeToString(sum[:8]), Name: name, Made: office.Now()}
	notes := office.New(p.hub.store, one.ID, office.Now, rand.Reader)
	return one.ID, p.begun(ctx, one, notes)
}

// nationalLink prints another link that opens the pages of a hub over PostgreSQL once.
func (p *Program) nationalLink(ctx context.Context, c hubLinkCommand) error {
	if c.Address == "" {
		return message.New("hubnational.no_address")
	}
	opened, err := openPostgres(ctx, c.Postgres)
	if err != nil {
		return err
	}
	p.hub = &association{store: opened}
	all, err := opened.Associations(ctx)
	if err != nil {
		return message.Because(err, "hubnational.no_database")
	}
	for _, a := range all {
		if c.Association == "" || a.Name == c.Association || a.ID == c.Association {
			return p.printLink(ctx, office.New(opened, a.ID, office.Now, rand.Reader), strings.TrimRight(c.Address, "/"))
		}
	}
	return message.New("hubnational.no_association")
}
