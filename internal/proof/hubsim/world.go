package hubsim

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"testing"
	"testing/fstest"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/internal/api"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/live"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/site"
	"whistlestop/internal/locale"
	"whistlestop/internal/outbox"
	"whistlestop/internal/outbox/overhttp"
)

const (
	steps = 60
	games = 2
)

// world is everything of one seed.
type world struct {
	t      testing.TB
	random *rand.Rand
	faults []string
	now    entry.Millis
	began  entry.Millis
	ids    int

	shape shape
	store store // by which the oracle and the coordinator ask
	desk  *office.Office
	id    string // of the association
	link  outbox.Link

	division []byte // by which the games are played
	cuts     int    // requests from now on until the power is cut; 0: it is not

	benches []*bench
	crowd   []*bench                   // those that send in one moment, each with a game of its own
	taken   map[string]map[string]bool // by game: hashes that were acknowledged
	healed  bool
	counts  Counts
}

// store is all that a hub needs of its database.
type store interface {
	site.Store
	office.Store
	live.Store
}

// shape is how a hub is built.
type shape interface {
	start(w *world)
	stop(w *world)
	cut(w *world)                                 // ends it as a loss of power does, and starts it again
	ask(w *world, r *http.Request) *http.Response // nil: the one who was asked was lost
	acts(w *world) store                          // through which a coordinator acts; may fail where fails says so
	fails() bool
	happen(w *world) // what only this shape has
	look(w *world)   // families look at what there is
	settle(w *world) // everything that is under way arrives
}

// Counts is what happened in a world, so that a test can say that it shows something.
type Counts struct {
	Cuts, Forks, Fences, Acknowledged, Lost int
	Broken, Killed, Wiped, Shown            int // of many hubs: connections, servers, buses; states that followers saw
	Together                                int // lines that went in one transaction with others
}

func (c *Counts) add(more Counts) {
	c.Cuts += more.Cuts
	c.Forks += more.Forks
	c.Fences += more.Fences
	c.Acknowledged += more.Acknowledged
	c.Lost += more.Lost
	c.Broken += more.Broken
	c.Killed += more.Killed
	c.Wiped += more.Wiped
	c.Shown += more.Shown
	c.Together += more.Together
}

// bench is one laptop with one game.
type bench struct {
	game   string
	ledger []entry.Entry
	epoch  int
	gone   bool // it is lost, or another one goes on with its game
	fenced bool
}

// dice makes randomness of a seed.
type dice struct{ *rand.Rand }

func (d dice) Read(into []byte) (int, error) {
	for i := range into {
		into[i] = byte(d.IntN(256))
	}
	return len(into), nil
}

// Play plays one seed with a hub in a folder and returns what was wrong.
func Play(t testing.TB, seed uint64) ([]string, Counts) {
	return play(t, seed, "harbour", &alone{folder: t.TempDir()})
}

func play(t testing.TB, seed uint64, association string, as shape) ([]string, Counts) {
	const day = 24 * 3600_000 // longer than a seed: each has its own
	began := 1_700_000_000_000 + entry.Millis(seed)*day
	w := &world{
		t: t, random: rand.New(rand.NewPCG(seed, 19)), now: began, began: began, taken: map[string]map[string]bool{},
		shape: as, id: association,
	}
	var err error
	if w.division, err = json.Marshal(rulebook.Divisions()[0]); err != nil {
		t.Fatal(err)
	}
	w.shape.start(w)
	defer func() { w.shape.stop(w) }()
	founded := office.Association{ID: association, Name: "Harbour League", Made: w.now}
	if err := w.store.Found(context.Background(), founded, w.desk.Note("sim", "founded", "", "")); err != nil {
		t.Fatal(err)
	}
	secret, _, err := w.desk.Issue(context.Background(), office.Bench, "sim", office.BenchLasts, office.By{Who: "sim"})
	if err != nil {
		t.Fatal(err)
	}
	w.link = outbox.Link{Hub: "http://hub.example", Secret: secret}
	for n := range games {
		w.benches = append(w.benches, w.opened(fmt.Sprintf("01JD0000000000000000GAME%02d", n+1)))
	}
	for range steps {
		w.now += entry.Millis(w.random.IntN(30_000))
		w.step()
		w.shape.happen(w)
	}
	w.end()
	return w.faults, w.counts
}

func (w *world) wrong(form string, args ...any) {
	w.faults = append(w.faults, fmt.Sprintf(form, args...))
}

// cut ends the hub in the midst of what it does and starts it again.
func (w *world) cut() {
	w.counts.Cuts++
	w.shape.cut(w)
	w.look("after a cut")
}

// opened is a bench that has opened a game.
func (w *world) opened(game string) *bench {
	b := &bench{game: game}
	w.enter(b, entry.GameOpened{Division: w.division, Home: entry.Team{Name: "Kelp Bay"}, Visitors: entry.Team{Name: "Millrace"}})
	return b
}

// enter puts an entry on the bench's own disk.
func (w *world) enter(b *bench, body entry.Body) {
	w.ids++
	e := entry.Entry{
		ID: fmt.Sprintf("01JD%022d", w.ids), Game: b.game, Seq: len(b.ledger) + 1, Wall: w.now, Seat: entry.Solo, Body: body,
	}
	if n := len(b.ledger); n > 0 {
		prev, err := b.ledger[n-1].Hash()
		if err != nil {
			w.t.Fatal(err)
		}
		e.Prev = prev
	}
	b.ledger = append(b.ledger[:len(b.ledger):len(b.ledger)], e)
}

func (w *world) body() entry.Body {
	if w.random.IntN(4) == 0 {
		return entry.Note{Text: "Somebody said something."} // it does not go out
	}
	return entry.Shots{Side: entry.Sides[w.random.IntN(2)], Count: 1 + w.random.IntN(3)}
}

// step lets something happen.
func (w *world) step() {
	b := w.benches[w.random.IntN(len(w.benches))]
	switch n := w.random.IntN(100); {
	case b.gone:
	case n < 40:
		for range 1 + w.random.IntN(6) {
			w.enter(b, w.body())
		}
	case n < 80:
		w.send(b)
	case n < 86:
		w.cut()
	case n < 88: // from now on the power is cut in the middle of something
		w.cuts = 1 + w.random.IntN(40)
	case n < 92:
		w.fork(b)
	case n < 95:
		w.decide(b.game)
	case n < 97:
		w.handOver(b)
	default: // it is started again: what it remembers of the hub may be lost with it
		if w.random.IntN(3) == 0 && !b.fenced {
			b.epoch = 0
		}
	}
}

// fork lets another bench go on from a copy that may lack the end; the first may not
// know of it.
func (w *world) fork(b *bench) {
	if len(w.benches) > 6 {
		return
	}
	other := &bench{game: b.game, ledger: b.ledger[:1+w.random.IntN(len(b.ledger))], epoch: b.epoch}
	w.enter(other, w.body())
	w.benches = append(w.benches, other)
	b.gone = w.random.IntN(3) == 0
}

func (w *world) where(game string) ledgers.Where {
	return ledgers.Where{Association: w.id, Game: game}
}

// decide lets a coordinator choose any of the branches.
func (w *world) decide(game string) {
	list, err := w.store.Branches(context.Background(), w.where(game))
	if err != nil {
		w.t.Fatal(err)
	}
	if len(list) == 0 {
		return
	}
	branch := 0
	if w.random.IntN(3) > 0 {
		branch = list[w.random.IntN(len(list))].Number
	}
	if _, err := w.shape.acts(w).Choose(context.Background(), w.where(game), branch, w.desk.Note("sim", "chose", game, "")); err != nil && !w.shape.fails() {
		w.wrong("a choice failed: %v", err)
	}
}

// handOver raises the epoch, and lets another bench take the game from a whole copy.
func (w *world) handOver(b *bench) {
	_, err := w.shape.acts(w).Raise(context.Background(), w.where(b.game), w.desk.Note("sim", "handed over", b.game, ""))
	if errors.Is(err, ledgers.ErrNoGame) {
		return
	}
	if err != nil {
		if !w.shape.fails() {
			w.wrong("a hand-over failed: %v", err)
		}
		return
	}
	w.benches = append(w.benches, &bench{game: b.game, ledger: b.ledger})
}

// send lets a bench send what the hub does not have, over a network that loses things.
func (w *world) send(b *bench) {
	if b.fenced {
		return
	}
	done, err := w.sendOver(&wire{w, b}, b)
	w.sent(b, done, err)
}

func (w *world) sendOver(network http.RoundTripper, b *bench) (outbox.Done, error) {
	return outbox.SendOnce(context.Background(), w.link, overhttp.Over(&http.Client{Transport: network}), w.time, b.epoch, b.ledger)
}

// sent notes what sending came to.
func (w *world) sent(b *bench, done outbox.Done, err error) {
	b.epoch = done.Epoch
	switch {
	case errors.Is(err, outbox.ErrFenced):
		w.counts.Fences++
		b.fenced = true
	case err != nil && w.healed:
		w.wrong("game %s was not sent over a network that works: %v", b.game, err)
	case err == nil:
		if done.Sent != len(b.ledger) {
			w.wrong("game %s: %d of %d entries are said to be there", b.game, done.Sent, len(b.ledger))
		}
		w.acknowledge(b.game, b.ledger[:done.Sent])
		if done.Forked {
			w.counts.Forks++
		}
	}
}

func (w *world) acknowledge(game string, ledger []entry.Entry) {
	if w.taken[game] == nil {
		w.taken[game] = map[string]bool{}
	}
	for _, e := range ledger {
		hash, err := e.Hash()
		if err != nil {
			w.t.Fatal(err)
		}
		w.taken[game][hash] = true
		w.counts.Acknowledged++
	}
}

// wire is the network between a bench and the hub.
type wire struct {
	w *world
	b *bench
}

var errLost = errors.New("the connection was lost")

// RoundTrip carries a request to the hub and its answer back, or loses one of them.
func (x *wire) RoundTrip(r *http.Request) (*http.Response, error) {
	w := x.w
	fate := w.random.IntN(100)
	if w.healed {
		fate = 100
	}
	if fate < 12 {
		w.counts.Lost++
		return nil, errLost // on its way there
	}
	body, err := io.ReadAll(r.Body)
	if err != nil {
		return nil, err
	}
	answer := w.ask(r, body)
	if fate < 20 {
		answer = w.ask(r, body) // it arrives twice
	}
	if w.cuts > 0 {
		if w.cuts--; w.cuts == 0 {
			w.cut()
			return nil, errLost
		}
	}
	if fate < 32 || answer == nil {
		w.counts.Lost++
		return nil, errLost // on its way back
	}
	return answer, nil
}

func (w *world) ask(r *http.Request, body []byte) *http.Response {
	again := httptest.NewRequestWithContext(r.Context(), r.Method, r.URL.RequestURI(), bodyOf(body))
	again.Header = r.Header
	return w.shape.ask(w, again)
}

// shell is a hub's shell over a database.
func (w *world) shell(over store, games *live.Games) *site.Site {
	return site.New(site.Config{
		Store: over, Office: office.New(over, w.id, w.time, dice{w.random}), Live: games, Association: w.id, Address: "http://hub.example",
		Now: w.time, Logger: slog.New(slog.DiscardHandler),
		Languages: func(...string) api.Words { return locale.English() }, Pages: fstest.MapFS{},
	})
}

func (w *world) time() entry.Millis { return w.now }
