package live

import (
	"container/list"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"log/slog"
	"maps"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/internal/changes"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/web/sse"
)

// Store is what is read of the ledgers, and where titles are kept.
type Store interface {
	News(ctx context.Context, at ledgers.Where, after, most int) (ledgers.News, error)
	Lines(ctx context.Context, at ledgers.Where, after, most int) ([]ledgers.Line, error)
	Games(ctx context.Context, association string) ([]ledgers.Game, error)
	Title(ctx context.Context, at ledgers.Where, seq int, hash string) ([]byte, error)
	KeepTitle(ctx context.Context, at ledgers.Where, seq int, hash string, title []byte) error
}

// Config is what live games need.
type Config struct {
	Store       Store
	Association string
	Now         func() entry.Millis // milliseconds of Unix time
	Logger      *slog.Logger

	// Named returns the names of a game's players by their commitments, as everybody may be
	// shown them; nil: they have numbers.
	Named func(ctx context.Context, game string) (map[string]string, error)

	// Later does something beside what is under way, after a while; nil: the computer's own way.
	Later func(after time.Duration, do func())
}

// Games are the games of an association. They are safe for use by many goroutines.
type Games struct {
	Config
	mutex     sync.Mutex
	games     map[string]*game
	resting   list.List // of *game, worked out and followed by nobody; those that were asked for last are in front
	followers int
	group     sync.WaitGroup
	closed    bool
	ending    chan struct{} // closed with the games
}

// New returns the games; nothing is read yet.
func New(c Config) *Games {
	g := &Games{Config: c, games: map[string]*game{}, ending: make(chan struct{})}
	if g.Later == nil {
		g.Later = g.later
	}
	return g
}

// game is one game in memory.
type game struct {
	where ledgers.Where
	rests *list.Element // in the list of those; the games' mutex guards it

	reading sync.Mutex // held by whoever reads what is new

	mutex     sync.Mutex
	brief     brief
	names     map[string]string // with which the ledger was read, by commitment
	worked                      // what is shown, with what it was worked out from
	coming    *worked           // what is shown when the lines that are on their way are there
	followers map[*Follower]bool
	again     bool         // it is read again, because the store could not be asked
	known     bool         // by how much the bench's time is ahead
	heard     entry.Millis // when the bench was heard last, by our time

	// What every follower reads for every entry is read without a lock: a thousand of
	// them would wait for one another.
	shown atomic.Pointer[shown] // nil: nothing was read, or it cannot be shown
	ahead atomic.Int64          // by which the bench's time is ahead of ours, as far as it is known
}

// worked is a ledger with all that was worked out of it.
type worked struct {
	ledger []entry.Entry
	last   string // hash of its newest line
	folded *rules.Folded
	made   *shown
}

// shown is the newest state as it is sent.
type shown struct {
	run   string
	epoch int
	doc   *changes.Doc
	title Title
	filed Filed

	once  sync.Once
	whole sse.Chunk

	mutex sync.RWMutex
	since map[int]sse.Chunk
}

// ErrNothing is what a game without an entry that may be shown says.
var ErrNothing = errors.New("no entry of the game may be shown")

// ledgerMost is how many entries are worked out (ours): a long game has some 2,000.
const ledgerMost = 20_000

// Heard notes that the bench of a game was heard, and what its clock said when it
// sent. Of several the one that travelled the shortest way is the nearest.
func (g *Games) Heard(id string, benchNow entry.Millis) {
	at := g.game(id)
	at.mutex.Lock()
	defer at.mutex.Unlock()
	now := g.Now()
	if at.heard = now; benchNow <= 0 {
		return
	}
	// A clock that was set back since is believed at once: only the way is short of time.
	const way = 10_000
	was := entry.Millis(at.ahead.Load())
	if ahead := benchNow - now; !at.known || ahead > was || ahead < was-way {
		at.ahead.Store(int64(ahead))
		at.known = true
	}
}

// Close waits until nothing is read any more.
func (g *Games) Close() {
	g.mutex.Lock()
	if !g.closed {
		close(g.ending)
	}
	g.closed = true
	g.mutex.Unlock()
	g.group.Wait()
}

// gamesMost is how many games stay in memory although nobody follows them.
const gamesMost = 64

func (g *Games) game(id string) *game {
	g.mutex.Lock()
	defer g.mutex.Unlock()
	return g.known(id)
}

// known is the game; the caller holds the mutex.
func (g *Games) known(id string) *game {
	at := g.games[id]
	if at == nil {
		if len(g.games) >= gamesMost {
			g.forget()
		}
		at = &game{where: ledgers.Where{Association: g.Association, Game: id}, followers: map[*Follower]bool{}}
		g.games[id] = at
	}
	return at
}

// forget drops games that nobody follows and no bench was heard of lately. The caller
// holds the mutex.
func (g *Games) forget() {
	const lately = 3 * 3600_000
	for id, at := range g.games {
		at.mutex.Lock()
		if len(at.followers) == 0 && g.Now()-at.heard > lately {
			delete(g.games, id)
			if at.rests != nil {
				g.resting.Remove(at.rests)
			}
		}
		at.mutex.Unlock()
	}
}

// read brings a game up to what the store has and wakes its followers.
func (g *Games) read(ctx context.Context, at *game) error {
	defer g.rest(at)
	at.reading.Lock()
	defer at.reading.Unlock()
	news, err := g.Store.News(ctx, at.where, len(at.ledger), atOnce)
	if err != nil {
		return asked(err)
	}
	end := news.Head.Shown()
	names := map[string]string(nil)
	if g.Named != nil {
		if names, err = g.Named(ctx, at.where.Game); err != nil {
			return asked(err)
		}
	}
	run := runOf(news, names)
	at.names = names // another run begins with others
	coming, was, before := at.coming, at.worked, at.shown.Load()
	at.coming = nil
	switch {
	case before == nil || before.run != run || end < len(was.ledger):
		if len(was.ledger) > 0 {
			news.Lines = nil // they stand behind lines that count no more
		}
		was, before = worked{}, nil
	case before.doc.Seq() == end:
		return nil
	case coming != nil && len(coming.ledger) == end && coming.last == news.Head.Hash:
		at.worked = *coming
		at.tell(coming.made)
		return nil
	}
	next, err := g.follow(ctx, at, was, news.Lines, end)
	if unasked := new(storeError); errors.As(err, &unasked) {
		return err // what is shown stays until the store answers
	}
	if err == nil {
		err = g.show(at, &next, before, run, news.Head.Epoch)
	}
	if err != nil {
		next = worked{}
	}
	at.worked = next
	at.tell(next.made)
	return err
}

func (at *game) isFollowed() bool {
	at.mutex.Lock()
	defer at.mutex.Unlock()
	return len(at.followers) > 0
}

// runOf names the lines of a game: while it is the same, lines were only put behind those
// that are there. Another bench's lines in their places begin another run. It outlives
// the program, so a page goes on from what it has also when the hub was started again.
func runOf(news ledgers.News, names map[string]string) string {
	what := fmt.Appendf(nil, "%s %d %d %v", news.First, news.Head.Epoch, news.Branches, news.Head.Forked)
	for _, one := range slices.Sorted(maps.Keys(names)) {
		what = fmt.Appendf(what, " %s %s", one, names[one])
	}
	sum := sha256.Sum256(what)
	return hex.EncodeToString(sum[:6])
}

// atOnce is how many lines are asked for at once (ours).
const atOnce = 1000

// follow reads the lines that are new, of which some have come already.
func (g *Games) follow(ctx context.Context, at *game, w worked, lines []ledgers.Line, end int) (worked, error) {
	if end == 0 {
		return w, ErrNothing
	}
	if end > ledgerMost {
		return w, fmt.Errorf("the game has %d entries, more than are worked out", end)
	}
	for ; len(w.ledger) < end; lines = nil {
		var err error
		if len(lines) == 0 {
			if lines, err = g.Store.Lines(ctx, at.where, len(w.ledger), min(atOnce, end-len(w.ledger))); err != nil {
				return w, asked(err)
			}
		}
		if len(lines) == 0 {
			return w, fmt.Errorf("entry %d is not in the store", len(w.ledger)+1)
		}
		if err = w.put(lines, at.names); err != nil {
			return w, err
		}
	}
	return w, nil
}

// put puts lines behind a ledger, with the names that are shown.
func (w *worked) put(lines []ledgers.Line, names map[string]string) error {
	for _, line := range lines {
		e, err := entry.ReadLine(line.Bytes)
		if err != nil {
			return fmt.Errorf("entry %d: %w", line.Seq, err)
		}
		if len(names) > 0 {
			e = e.ShownWith(func(what entry.Text, commitment string) string {
				if what == entry.TextPlayer {
					return names[commitment]
				}
				return what.Gone()
			})
		}
		w.ledger, w.last = append(w.ledger, e), line.Hash
	}
	return nil
}

// Coming says that lines of a game are on their way to the store. Where somebody follows the
// game, what they make of it is worked out meanwhile; it is shown when the store has them.
func (g *Games) Coming(id string, lines []ledgers.Line) {
	const most = 8 // of more the disk is not what takes longest
	g.mutex.Lock()
	at := g.games[id]
	g.mutex.Unlock()
	if at != nil && len(lines) > 0 && len(lines) <= most && at.isFollowed() {
		g.Later(0, func() { g.prepare(at, lines) })
	}
}

// prepare works out what comes. What fails here is said when it is read.
func (g *Games) prepare(at *game, lines []ledgers.Line) {
	at.reading.Lock()
	defer at.reading.Unlock()
	before, next := at.shown.Load(), at.worked
	if before == nil || before.doc.Seq() != len(next.ledger) || lines[0].Seq != len(next.ledger)+1 || lines[0].Prev != next.last {
		return
	}
	if next.put(lines, at.names) == nil && g.show(at, &next, before, before.run, before.epoch) == nil {
		at.coming = &next
	}
}

// show works out the state of a ledger and what everybody may see of it. What was not
// thought of must not end the other games.
func (g *Games) show(at *game, w *worked, before *shown, run string, epoch int) (err error) {
	defer func() {
		if caught := recover(); caught != nil {
			err = fmt.Errorf("working the game out failed: %v", caught)
		}
	}()
	if w.folded, err = rules.FoldAfter(w.folded, w.ledger); err != nil {
		return err
	}
	var old *changes.Doc
	if before != nil {
		old = before.doc
	}
	doc, err := changes.Of(old, len(w.ledger), Public(w.folded.State, len(at.names) > 0), nil)
	if err != nil {
		return err
	}
	w.made = &shown{run: run, epoch: epoch, doc: doc, title: titleOf(w.ledger, w.folded.State), filed: filedOf(w.ledger, w.folded.State), since: map[int]sse.Chunk{}}
	if before != nil && at.isFollowed() {
		_, err = w.made.change(before.doc.Seq()) // nearly all have that state, and find the change ready
	}
	return err
}

// tell takes what is shown from now on and wakes everybody.
func (at *game) tell(made *shown) {
	at.mutex.Lock()
	defer at.mutex.Unlock()
	at.shown.Store(made)
	if made != nil {
		at.brief = brief{made.doc.Seq(), at.last, made.title, made.filed}
	}
	for f := range at.followers {
		f.wake()
	}
}
