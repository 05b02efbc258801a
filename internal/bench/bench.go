package bench

import (
	"context"
	"encoding/json"
	"log/slog"
	"sync"
	"sync/atomic"

	"github.com/oklog/ulid/v2"

	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
)

// Bench is all live games. It is safe for use by many goroutines.
type Bench struct {
	ledgers Log
	clock   Clock
	ids     IDs
	logger  *slog.Logger

	ahead  atomic.Int64 // milliseconds that the bench's time is ahead of clock: sleeps
	sleeps sleeps       // of the computer
	stop   chan struct{}
	group  sync.WaitGroup

	restart Restart           // what is known of the time before the start
	again   func(*game) error // takes out what was taken out before and came back; may be nil

	shelf shelf // the games that are in memory
	index Index // of the list; nil: there is none

	mutex     sync.Mutex
	closed    bool
	reading   bool            // titles of games, behind the list
	judged    map[string]bool // games whose clock was held against the restart
	moving    map[string]bool // games whose clock runs
	runs      chan struct{}   // closed while there is one
	games     map[string]*game
	indexRead bool
	titles    map[string]Title // of games that nobody opened since the start
}

// New returns a bench over the ledgers. Close it before closing them.
func New(ledgers Log, clock Clock, ids IDs, logger *slog.Logger) *Bench {
	return &Bench{
		ledgers: ledgers, clock: clock, ids: ids, logger: logger,
		stop: make(chan struct{}), games: map[string]*game{}, titles: map[string]Title{},
		judged: map[string]bool{}, moving: map[string]bool{}, runs: make(chan struct{}),
	}
}

// Now returns the bench's time in milliseconds of Unix time. It never steps, and
// no game moves it: what a ledger says about the time counts for that game alone.
func (b *Bench) Now() entry.Millis {
	// A device that asks right after a sleep must not get the time before it.
	b.look()
	return b.awake()
}

// awake is the bench's time without the sleep that nobody looked for yet.
func (b *Bench) awake() entry.Millis { return b.clock.Now() + entry.Millis(b.ahead.Load()) }

// Close ends all games' goroutines and watches. What was answered is safe.
func (b *Bench) Close() {
	b.mutex.Lock()
	if !b.closed {
		b.closed = true
		close(b.stop)
	}
	b.mutex.Unlock()
	b.group.Wait()
}

// Opening is a game to be opened. ID is a ULID that the client made.
type Opening struct {
	ID       string
	Number   string
	Schedule string // id of the game in the league's schedule; empty: it is in none
	Venue    string
	Date     string
	Division rulebook.Division
	Home     entry.Team
	Visitors entry.Team
}

// Open opens a game. Opening the same game again changes nothing and is no
// error, so that a lost answer can be asked for again.
func (b *Bench) Open(ctx context.Context, o Opening) (Reply, error) {
	if !ValidGame(o.ID) {
		return Reply{}, refuse(o.ID, "id", say("bench.game_id"))
	}
	if err := o.Division.Validate(); err != nil {
		return Reply{}, refuse(o.ID, "division", say("bench.division", "why", message.Inside(err)))
	}
	division, err := json.Marshal(o.Division)
	if err != nil {
		return Reply{}, problem(Faulty, err, "bench.faulty")
	}
	g, err := b.goroutine(o.ID)
	if err != nil {
		return Reply{}, err
	}
	first := entry.Entry{
		ID: o.ID, Game: o.ID, Wall: b.Now(), Seat: entry.Solo,
		Body: entry.GameOpened{
			Number: o.Number, Schedule: o.Schedule, Venue: o.Venue, Date: o.Date,
			Division: division, Home: o.Home, Visitors: o.Visitors,
		},
	}
	return g.post(ctx, []entry.Entry{first}, Poster{})
}

// ValidGame reports whether id can be the id of a game: a ULID.
func ValidGame(id string) bool {
	_, err := ulid.ParseStrict(id)
	return err == nil
}

// game returns the goroutine of a game that is in the log.
func (b *Bench) game(ctx context.Context, id string) (*game, error) {
	if !ValidGame(id) {
		return nil, problem(Missing, nil, "bench.no_game")
	}
	b.mutex.Lock()
	g := b.games[id]
	b.mutex.Unlock()
	if g != nil {
		return g, nil
	}
	// Only what is in the log gets a goroutine: guessing ids costs nothing.
	ledger, err := b.ledgers.Load(ctx, id)
	if err != nil {
		b.logger.Error("load a game", "game", id, "error", err)
		return nil, problem(Unavailable, err, "bench.unreadable")
	}
	if len(ledger) == 0 {
		return nil, problem(Missing, nil, "bench.no_game")
	}
	return b.goroutine(id)
}

// goroutine returns the goroutine of a game, starting it if need be.
func (b *Bench) goroutine(id string) (*game, error) {
	b.mutex.Lock()
	defer b.mutex.Unlock()
	if b.closed {
		return nil, problem(Unavailable, nil, "bench.closing")
	}
	g := b.games[id]
	if g == nil {
		g = newGame(b, id)
		b.games[id] = g
		delete(b.titles, id)
		b.group.Go(g.run)
	}
	return g, nil
}

// Reply is the answer to a post.
type Reply struct {
	Update
	Posted []string // ids of the entries asked for, in order
	Notes  []rules.Say
}

// Post posts the drafts to a game, all or none. Drafts that are in the ledger
// already, with the same content, are left out and answered as before.
func (b *Bench) Post(ctx context.Context, id string, drafts []entry.Entry) (Reply, error) {
	return b.PostFrom(ctx, id, drafts, Poster{})
}

// PostFrom posts the drafts of a seat: as its own, and only what it may post.
func (b *Bench) PostFrom(ctx context.Context, id string, drafts []entry.Entry, from Poster) (Reply, error) {
	g, err := b.game(ctx, id)
	if err != nil {
		return Reply{}, err
	}
	return g.post(ctx, from.stamp(drafts), from)
}

// Preview says what the drafts would do, and changes nothing.
func (b *Bench) Preview(ctx context.Context, id string, drafts []entry.Entry) (Considered, error) {
	g, err := b.game(ctx, id)
	if err != nil {
		return Considered{}, err
	}
	return ask(ctx, g, func() (Considered, error) {
		if err := g.ready(); err != nil {
			return Considered{}, err
		}
		return g.preview(drafts)
	})
}

// State returns the newest state of a game.
func (b *Bench) State(ctx context.Context, id string) (Update, error) {
	g, err := b.game(ctx, id)
	if err != nil {
		return Update{}, err
	}
	return ask(ctx, g, func() (Update, error) {
		err := g.ready()
		return g.current(), err
	})
}

// CatchUp lets a game see what time it is, and returns its state. A game wakes by
// itself when its clock has run out; whoever tells the time to the bench's clock
// and wants to see at once what it brought asks for it here.
func (b *Bench) CatchUp(ctx context.Context, id string) (Update, error) {
	g, err := b.game(ctx, id)
	if err != nil {
		return Update{}, err
	}
	return ask(ctx, g, func() (Update, error) {
		if err := g.ready(); err != nil {
			return Update{}, err
		}
		err := g.stopIfOut(hornGrace)
		return g.current(), err
	})
}

// Ledger returns the ledger of a game, oldest entry first. It must not be
// changed.
func (b *Bench) Ledger(ctx context.Context, id string) ([]entry.Entry, error) {
	g, err := b.game(ctx, id)
	if err != nil {
		return nil, err
	}
	return ask(ctx, g, func() ([]entry.Entry, error) {
		err := g.ready()
		return g.ledger[:len(g.ledger):len(g.ledger)], err
	})
}
