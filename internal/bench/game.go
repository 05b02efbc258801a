package bench

import (
	"context"
	"errors"
	"fmt"
	"runtime/debug"
	"slices"
	"sync/atomic"
	"time"

	"whistlestop/game/card"
	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/internal/changes"
)

const (
	// hornGrace is how long the bench waits after a clock ran out before it
	// posts the stop. A stop that was touched in time and is still on its way
	// counts; every screen shows 0:00 and sounds the horn meanwhile.
	hornGrace entry.Millis = 250
	// retryAfter is when a stop that could not be kept is tried again.
	retryAfter = time.Second
	// draftsMost is how many entries one post may have.
	draftsMost = 50
)

// game is one live game. Everything but requests and watches belongs to the
// goroutine that runs it.
type game struct {
	id       string
	bench    *Bench
	requests chan func()
	watches  watches

	loaded bool // ledger and update are what the log holds
	ledger []entry.Entry
	place  map[string]int // id of an entry to its index in the ledger
	folded *rules.Folded  // the ledger, folded; nil: it is empty
	update Update
	hidden map[string][]byte // random bytes of the texts that lie beside the ledger
	board  card.Follower     // what the rink's board shows
	timer  *time.Timer
	slept  int // how many of the computer's sleeps it has seen

	drop    chan struct{} // asks it to leave the memory
	running atomic.Bool   // its clock

	refused turnedDown // what nobody may post any more
	pace    pace       // of the seats
}

func newGame(b *Bench, id string) *game {
	return &game{id: id, bench: b, requests: make(chan func()), drop: make(chan struct{}, 1)}
}

// run owns the game until the bench closes.
func (g *game) run() {
	g.timer = time.NewTimer(retryAfter)
	g.timer.Stop()
	defer g.timer.Stop()
	defer g.watches.close()
	g.tick() // load at once: a clock may have run out meanwhile
	for {
		select {
		case request := <-g.requests:
			request()
			if g.loaded {
				g.bench.shelf.used(g)
			}
		case <-g.drop:
			g.unload()
		case <-g.timer.C:
			g.tick()
		case <-g.bench.stop:
			return
		}
	}
}

// tick stops a clock that ran out, and tries again later when that fails.
func (g *game) tick() {
	if err := g.guarded(g.onTimer); err != nil {
		g.bench.logger.Error("stop a clock that ran out", "game", g.id, "error", err)
		g.timer.Reset(retryAfter)
	}
}

// ask runs a question on the game's goroutine. When ctx ends first it may still
// be carried out; asking again with the same ids is safe.
func ask[T any](ctx context.Context, g *game, question func() (T, error)) (T, error) {
	type result struct {
		value T
		err   error
	}
	var none T
	answer := make(chan result, 1)
	request := func() {
		var r result
		r.err = g.guarded(func() (err error) {
			r.value, err = question()
			return err
		})
		answer <- r
	}
	select {
	case g.requests <- request:
	case <-ctx.Done():
		return none, problem(Unavailable, ctx.Err(), "bench.busy")
	case <-g.bench.stop:
		return none, problem(Unavailable, nil, "bench.closing")
	}
	select {
	case r := <-answer:
		return r.value, r.err
	case <-ctx.Done():
		return none, problem(Unavailable, ctx.Err(), "bench.busy")
	}
}

// guarded catches a panic: a broken invariant in one request must not stop the
// clock of a game that is on. The game is loaded again before anything else.
func (g *game) guarded(request func() error) (err error) {
	defer func() {
		if caught := recover(); caught != nil {
			g.loaded = false
			g.bench.logger.Error("a request failed inside the program",
				"game", g.id, "error", caught, "stack", string(debug.Stack()))
			err = problem(Faulty, fmt.Errorf("%v", caught), "bench.faulty")
		}
	}()
	return request()
}

// ready loads the game if what is in memory cannot be trusted, and stops a clock
// that ran out.
func (g *game) ready() error {
	if !g.loaded {
		if err := g.load(); err != nil {
			return err
		}
	}
	if len(g.ledger) == 0 {
		return problem(Missing, nil, "bench.no_game")
	}
	return g.doubts()
}

// doubts posts that the time of the clock is not known, where that is so.
func (g *game) doubts() error {
	if err := g.doubtRestart(); err != nil {
		return err
	}
	return g.doubt()
}

func (g *game) load() error {
	ledger, err := g.bench.ledgers.Load(context.Background(), g.id)
	if err != nil {
		g.bench.logger.Error("load a game", "game", g.id, "error", err)
		return problem(Unavailable, err, "bench.unreadable")
	}
	if len(ledger) == 0 {
		g.bench.setJudged(g.id) // whatever its clock will do, this bench sees it
	}
	first := g.place == nil
	g.ledger, g.place, g.folded, g.update = nil, map[string]int{}, nil, Update{}
	g.hidden = hiddenIn(ledger)
	if err := g.take(ledger, nil); err != nil {
		if first {
			g.place = nil
		}
		return err
	}
	if first {
		if err := g.doubts(); err != nil {
			return err
		}
		// What ran out while the program was dead needs no grace.
		if err := g.stopIfOut(0); err != nil {
			return err
		}
	}
	return nil
}

// take makes the ledger, which goes on from the one before, the game's and tells
// everybody. Folded is the ledger, folded; nil: that is still to be done.
func (g *game) take(ledger []entry.Entry, folded *rules.Folded) error {
	update := g.update
	if len(ledger) > 0 {
		var err error
		if folded == nil {
			if folded, err = rules.FoldAfter(g.folded, ledger); err != nil {
				return problem(Faulty, err, "bench.faulty")
			}
		}
		if update, err = updateOf(g.update.Doc, folded.State, folded.Fresh); err != nil {
			return problem(Faulty, err, "bench.faulty")
		}
	}
	for i := len(g.ledger); i < len(ledger); i++ {
		g.place[ledger[i].ID] = i
	}
	g.ledger, g.folded, g.update, g.loaded = ledger, folded, update, true
	g.running.Store(update.State.Clock.Running)
	g.bench.forgetTitle(g.id)
	g.bench.moves(g.id, update.State.Clock.Running)
	if len(ledger) > 0 {
		g.watches.tell(g.current())
	}
	g.setTimer()
	return nil
}

// updateOf writes a state, going on from the one before: of the ledger in words
// only the lines that were worked out anew.
func updateOf(before *changes.Doc, state rules.State, fresh []int) (Update, error) {
	doc, err := changes.Of(before, state.Seq, state, func(path string, i int) bool {
		_, found := slices.BinarySearch(fresh, i)
		return path == "lines" && !found
	})
	return Update{State: state, Doc: doc}, err
}

// runsOut returns the instant at which the running clock reaches its length.
func (g *game) runsOut() (at entry.Millis, runs bool) {
	c := g.update.State.Clock
	if !c.Running || c.Length <= 0 {
		return 0, false
	}
	return c.Wall + max(0, c.Length-c.Elapsed), true
}

// setTimer wakes the game when its clock has run out.
func (g *game) setTimer() {
	out, runs := g.runsOut()
	if !runs {
		g.timer.Stop()
		return
	}
	wait := max(0, out+hornGrace-g.bench.Now())
	g.timer.Reset(time.Duration(wait) * time.Millisecond)
}

func (g *game) onTimer() error {
	if err := g.ready(); err != nil {
		if isKind(err, Missing) {
			return nil // about to be opened
		}
		return err
	}
	if err := g.stopIfOut(hornGrace); err != nil {
		return err
	}
	g.setTimer()
	return nil
}

// stopIfOut posts the stop of a clock that reached its length at least grace ago.
func (g *game) stopIfOut(grace entry.Millis) error {
	now := g.bench.Now()
	out, runs := g.runsOut()
	if !runs || now < out+grace {
		return nil
	}
	state := g.update.State
	stop := entry.Entry{
		ID: g.bench.ids.New(now), Game: g.id, Seq: len(g.ledger) + 1,
		Wall: out, Seat: entry.Program, At: where(state, out),
		Body: entry.ClockStopped{Elapsed: state.Clock.Length, Error: state.Clock.Error},
	}
	return g.keep([]entry.Entry{stop})
}

// keep chains the entries, appends them and takes them over.
func (g *game) keep(entries []entry.Entry) error {
	if err := Chain(g.ledger, entries); err != nil {
		return problem(Faulty, err, "bench.faulty")
	}
	return g.write(entries, nil)
}

// write appends entries that are chained, and takes them over.
func (g *game) write(entries []entry.Entry, folded *rules.Folded) error {
	// Whoever asked may be gone; an append is carried through all the same.
	if err := g.bench.ledgers.Append(context.Background(), g.id, entries); err != nil {
		g.loaded = false
		g.bench.logger.Error("append to a game", "game", g.id, "error", err)
		if hasMoved(err) {
			return problem(Conflict, err, "bench.id_taken")
		}
		return problem(Unavailable, err, "bench.not_kept")
	}
	// Only this goroutine writes behind the ledger: whoever has it has it as it was.
	return g.take(append(g.ledger, entries...), folded)
}

// hasMoved reports whether a log refused entries for what they are: the ledger
// has gone on without this bench, or an id is taken at another game.
func hasMoved(err error) bool {
	var moved interface{ Moved() bool }
	return errors.As(err, &moved) && moved.Moved()
}

// Chain links entries that were numbered to the ledger before them.
func Chain(ledger, entries []entry.Entry) error {
	prev := ""
	if len(ledger) > 0 {
		var err error
		if prev, err = ledger[len(ledger)-1].Hash(); err != nil {
			return err
		}
	}
	for i := range entries {
		entries[i].Prev = prev
		var err error
		if prev, err = entries[i].Hash(); err != nil {
			return err
		}
	}
	return nil
}
