package hubsim

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"sync"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"

	"whistlestop/internal/hub/bus"
	"whistlestop/internal/hub/live"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/postgres"
	"whistlestop/internal/hub/postgres/private"
	"whistlestop/internal/hub/site"
)

// connections is how many a hub has to the database. When the server ended them, each is
// found out by a question that fails, and then a new one is made: so often may fail, once
// everything is whole, what the program tries for ever, and no more often.
const connections = 4

// hangsAfter is how long the server may take to see that a connection broke: it does so
// at once, on a machine that has time for it.
const hangsAfter = time.Minute

// hubs is how many are over one database.
const hubs = 2

// Yard is a database that lasts for many seeds, and the hubs' ways to it.
type Yard struct {
	cluster  *private.Cluster
	database string
	own      *postgres.Store // the oracle's, which does not break
	stores   [hubs]*postgres.Store
	wires    [hubs]*wires
}

// NewYard opens the ways to a database of a cluster.
func NewYard(t testing.TB, cluster *private.Cluster, database string) *Yard {
	y := &Yard{cluster: cluster, database: database}
	for i := range hubs {
		y.wires[i] = &wires{}
	}
	y.open(t)
	return y
}

// oracle is what the oracle's connections call themselves.
const oracle = "oracle"

func (y *Yard) open(t testing.TB) {
	y.own = y.way(t, func(c *pgx.ConnConfig) { c.RuntimeParams["application_name"] = oracle })
	for i := range hubs {
		y.stores[i] = y.way(t, y.wires[i].through)
	}
}

func (y *Yard) way(t testing.TB, adjust func(*pgx.ConnConfig)) *postgres.Store {
	opened, err := postgres.Open(context.Background(), y.cluster.URL("whistlestop_app", y.database)+fmt.Sprint("&pool_max_conns=", connections), adjust)
	if err != nil {
		t.Fatalf("the database does not open: %v", err)
	}
	return opened
}

// Close closes them.
func (y *Yard) Close() error {
	errs := []error{y.own.Close()}
	for _, s := range y.stores {
		errs = append(errs, s.Close())
	}
	return errors.Join(errs...)
}

// Play plays one seed with two hubs over the database, as an association of its own, and
// returns what was wrong. kills lets the server be killed too, once.
func (y *Yard) Play(t testing.TB, seed uint64, kills bool) ([]string, Counts) {
	return play(t, seed, fmt.Sprint("league", seed), &nation{Yard: y, kills: kills})
}

// nation is several hubs over one PostgreSQL, with a bus between them.
type nation struct {
	*Yard
	kills   bool // the server is still to be killed
	between *between
	hubs    [hubs]*process
}

// process is one of the hubs.
type process struct {
	wires   *wires
	store   *postgres.Store
	games   *live.Games
	site    *site.Site
	ear     *ear
	putOff  sync.Mutex // what is put off comes from many at once
	later   []func()
	watches map[string]*watch
}

// watch is a family that follows a game at a hub.
type watch struct {
	*live.Follower
	seq int // of the newest entry that it was shown
}

func (n *nation) start(w *world) {
	n.between = &between{w: w}
	w.store, w.desk = n.own, office.New(n.own, w.id, w.time, dice{w.random})
	for i := range n.hubs {
		n.begin(w, i)
	}
}

// begin starts a hub.
func (n *nation) begin(w *world, i int) {
	p := &process{wires: n.wires[i], store: n.stores[i], watches: map[string]*watch{}}
	p.games = live.New(live.Config{
		Store: p.store, Association: w.id, Now: w.time, Logger: slog.New(slog.DiscardHandler),
		Later: func(_ time.Duration, do func()) { // one after the other, and not beside
			p.putOff.Lock()
			defer p.putOff.Unlock()
			p.later = append(p.later, do)
		},
	})
	p.site = w.shell(p.store, p.games)
	p.ear = &ear{
		told: func(m bus.Message) {
			if m.Association == w.id {
				p.games.MovedElsewhere(m.Game)
			}
		},
		anew: p.games.MovedAll,
	}
	n.between.ends = append(n.between.ends, p.ear)
	n.hubs[i] = p
}

// end ends a hub: what it had in memory is gone, and sometimes its connections are.
func (n *nation) end(w *world, i int) {
	p := n.hubs[i]
	p.wires.breakAfter(0, false)
	n.between.leave(p.ear)
	for _, f := range p.watches {
		f.Close()
	}
	p.games.Close()
	if w.random.IntN(4) > 0 && !w.healed { // at the end none that the server ended is left
		return
	}
	if err := n.stores[i].Close(); err != nil {
		w.t.Error(err)
	}
	n.stores[i] = n.way(w.t, n.wires[i].through)
}

func (n *nation) stop(w *world) {
	for i := range n.hubs {
		n.end(w, i)
	}
}

// cut starts both hubs again, and the server at the first time.
func (n *nation) cut(w *world) {
	n.stop(w)
	if n.kills {
		n.kills = false
		w.counts.Killed++
		err := errors.Join(n.cluster.Kill(), n.cluster.Begin(context.Background()), n.Close())
		if err != nil {
			w.t.Fatal(err)
		}
		n.open(w.t)
		w.store, w.desk = n.own, office.New(n.own, w.id, w.time, dice{w.random})
	}
	for i := range n.hubs {
		n.begin(w, i)
	}
}

// ask asks one of the hubs. One whose connection broke says no, and nobody knows what was
// kept.
func (n *nation) ask(w *world, r *http.Request) *http.Response {
	p := n.hubs[w.random.IntN(hubs)]
	if !w.healed && w.random.IntN(8) == 0 {
		p.wires.breakAfter(1+w.random.IntN(6), w.random.IntN(2) == 0)
	}
	before, _ := p.wires.counted()
	out := httptest.NewRecorder()
	p.site.ServeHTTP(out, r)
	now, _ := p.wires.counted() // a connection that the pool gives up says so beside this
	w.counts.Broken += now - before
	return out.Result()
}

func (n *nation) acts(w *world) store { return n.hubs[w.random.IntN(hubs)].store }
func (n *nation) fails() bool         { return true }

// happen lets one hub's part of the work between the hubs happen.
func (n *nation) happen(w *world) {
	i := w.random.IntN(hubs)
	p := n.hubs[i]
	switch fate := w.random.IntN(100); {
	case fate < 30:
		_, _ = n.relay(w, p, 1+w.random.IntN(20)) // what fails waits
	case fate < 60:
		n.between.deliver(p.ear, false)
	case fate < 80:
		n.work(p)
	case fate < 90:
		n.watch(w, p, w.benches[w.random.IntN(len(w.benches))].game)
	case fate < 93: // one hub is killed, the other goes on
		n.end(w, i)
		n.begin(w, i)
	case fate < 95: // the server ends the hubs' connections, in whatever they are
		n.terminate(w)
	case fate < 97:
		n.between.wipe()
	case fate < 98:
		n.together(w, p)
	default:
		p.wires.breakAfter(1+w.random.IntN(12), w.random.IntN(2) == 0)
	}
}

// terminate lets the server end every connection of the hubs.
func (n *nation) terminate(w *world) {
	w.counts.Broken++
	if err := n.cluster.Terminate(context.Background(), n.database, oracle); err != nil {
		w.t.Fatal(err)
	}
}

// relay publishes some of what waits. A bus that was lost is filled first, with what this
// seed made: others lie in the same database.
func (n *nation) relay(w *world, p *process, most int) (taken int, err error) {
	if n.between.wiped {
		if err := p.store.Republish(context.Background(), w.began, n.between.publish); err != nil {
			return 0, err
		}
		n.between.wiped = false
	}
	return p.store.TakeOutbox(context.Background(), most, n.between.publish)
}

// work does what a hub put off, once.
func (n *nation) work(p *process) {
	p.putOff.Lock()
	due := p.later
	p.later = nil
	p.putOff.Unlock()
	for _, do := range due {
		do()
	}
}

// watch lets a family look at a game, or look again.
func (n *nation) watch(w *world, p *process, game string) {
	f := p.watches[game]
	if f == nil {
		follower, err := p.games.Follow(context.Background(), game, "", 0)
		if err != nil {
			return // the game is not there yet, or the database is not
		}
		f = &watch{Follower: follower}
		p.watches[game] = f
	}
	for {
		frame, on, err := f.Next()
		if err != nil {
			w.wrong("a follower of game %s: %v", game, err)
		}
		if !on {
			f.Close()
			delete(p.watches, game)
			return
		}
		if frame.Seq == 0 {
			return
		}
		f.seq = frame.Seq
		w.counts.Shown++
	}
}

// look lets a family look at each game at each hub.
func (n *nation) look(w *world) {
	for _, p := range n.hubs {
		for _, b := range w.benches[:games] {
			n.watch(w, p, b.game)
		}
	}
}

// settle lets everything arrive: then every family sees what the database has.
func (n *nation) settle(w *world) {
	for _, p := range n.hubs {
		p.wires.breakAfter(0, false)
	}
	hangs := time.Now().Add(hangsAfter)
	for failed := 0; failed <= connections && time.Now().Before(hangs); {
		taken, err := n.relay(w, n.hubs[0], bus.AtOnce)
		if err != nil {
			failed++
			continue
		}
		if rows, _, err := n.own.Waiting(context.Background()); err != nil || rows == 0 {
			break
		}
		if taken == 0 {
			// The server has not seen yet that somebody's connection broke, and keeps the rows for it.
			time.Sleep(time.Millisecond)
		}
	}
	for _, p := range n.hubs {
		n.between.deliver(p.ear, true)
		for tries := 0; len(p.later) > 0 && tries <= (games+len(w.crowd))*(connections+1); tries++ {
			n.work(p)
		}
		for _, b := range w.benches[:games] {
			n.sees(w, p, b.game)
		}
	}
	rows, _, err := n.own.Waiting(context.Background())
	if err != nil || rows != 0 {
		w.wrong("%d rows still wait in the outbox, %v", rows, err)
	}
}

// sees holds what a family is shown against the database.
func (n *nation) sees(w *world, p *process, game string) {
	head, err := n.own.Head(context.Background(), w.where(game))
	if err != nil {
		w.t.Fatal(err)
	}
	for tries := 0; tries < 2 || tries <= 1+connections && p.watches[game] == nil && head.Shown() > 0; tries++ {
		n.watch(w, p, game) // who is sent away comes back
	}
	switch f := p.watches[game]; {
	case head.Shown() == 0 && f == nil:
	case f == nil || f.seq != head.Shown():
		w.wrong("a family of game %s sees %+v, the database has %+v", game, f, head)
	}
}
