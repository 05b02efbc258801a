package live

import (
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"sync"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/web/sse"
)

// Follower is one who follows a game.
type Follower struct {
	games *Games
	at    *game
	news  chan struct{}
	once  sync.Once

	run  string // what the follower has; of another run nothing goes on
	had  int
	sent bool // by this one, and not by one before it
}

// wake says that there is something new. It never waits.
func (f *Follower) wake() {
	select {
	case f.news <- struct{}{}:
	default:
	}
}

// Frame is what a follower gets next: the beginning of an event, the same for everybody
// who has the same. What ends it is the time in milliseconds, a brace and an empty line.
type Frame struct {
	Begin sse.Chunk
	Seq   int // of the newest entry; 0: nothing is new
}

// Follow begins to follow a game: from a state that the follower has, if it says so,
// otherwise from the whole. It returns an error for a game that is not there or
// cannot be shown.
func (g *Games) Follow(ctx context.Context, id string, run string, had int) (*Follower, error) {
	f := &Follower{games: g, news: make(chan struct{}, 1), run: run, had: had}
	at := g.joined(f, id)
	named, err := g.namedOtherwise(ctx, at)
	if err == nil && (named || at.shown.Load() == nil) {
		err = g.read(ctx, at)
	}
	if s := at.shown.Load(); err == nil && s != nil && !f.has(s) {
		_, err = f.begin(s) // here, and not where the follower waits: what writes a state takes a deep stack
	}
	if err != nil {
		f.Close()
		return nil, err
	}
	f.wake()
	return f, nil
}

// namedOtherwise reports whether players are named otherwise by now than they are shown:
// how old they are, and what the association shows, can be changed while nothing comes in.
func (g *Games) namedOtherwise(ctx context.Context, at *game) (bool, error) {
	if g.Named == nil || at.shown.Load() == nil {
		return false, nil
	}
	names, err := g.Named(ctx, at.where.Game)
	if err != nil {
		return false, err
	}
	at.reading.Lock()
	defer at.reading.Unlock()
	return !maps.Equal(names, at.names), nil
}

// joined puts a follower to a game, at once: a game that nobody follows may be forgotten.
func (g *Games) joined(f *Follower, id string) *game {
	g.mutex.Lock()
	defer g.mutex.Unlock()
	g.followers++
	f.at = g.known(id)
	f.at.mutex.Lock()
	defer f.at.mutex.Unlock()
	f.at.followers[f] = true
	return f.at
}

// Followers is how many follow now.
func (g *Games) Followers() int {
	g.mutex.Lock()
	defer g.mutex.Unlock()
	return g.followers
}

// Close ends the following. It may be called more than once.
func (f *Follower) Close() {
	f.once.Do(func() {
		f.at.mutex.Lock()
		delete(f.at.followers, f)
		f.at.mutex.Unlock()
		f.games.mutex.Lock()
		f.games.followers--
		f.games.mutex.Unlock()
		f.games.rest(f.at)
	})
}

// Title is what lists show of the game; the zero title where it cannot be shown any more.
func (f *Follower) Title() Title {
	if s := f.at.shown.Load(); s != nil {
		return s.title
	}
	return Title{}
}

// News says when to call Next.
func (f *Follower) News() <-chan struct{} { return f.news }

// Next is what is new for the follower. A false says that
// the lines are others than those that were sent, or cannot be shown any more: the
// follower comes back from the beginning.
func (f *Follower) Next() (frame Frame, on bool, err error) {
	s := f.at.shown.Load()
	if s == nil {
		return frame, false, nil
	}
	if f.has(s) {
		return frame, true, nil
	}
	if f.sent && f.run != s.run {
		return frame, false, nil
	}
	frame.Begin, err = f.begin(s)
	frame.Seq = s.doc.Seq()
	f.run, f.had, f.sent = s.run, frame.Seq, true
	return frame, true, err
}

// has reports whether the follower has a state already.
func (f *Follower) has(s *shown) bool { return f.run == s.run && f.had == s.doc.Seq() }

// begin is what a follower gets of a state that it does not have.
func (f *Follower) begin(s *shown) (sse.Chunk, error) {
	if f.run == s.run && f.had > 0 && f.had < s.doc.Seq() {
		return s.change(f.had)
	}
	return s.all(), nil
}

// all is a whole state, written once.
func (s *shown) all() sse.Chunk {
	s.once.Do(func() {
		s.whole = sse.Compressed(fmt.Appendf(nil, "event: state\nid: %d-%d-%s\ndata: {\"state\":%s,\"run\":%q,\"now_ms\":", s.epoch, s.doc.Seq(), s.run, s.doc.Whole(), s.run))
	})
	return s.whole
}

// sinceMost is how many changes from different states are kept ready.
const sinceMost = 16

// change is what changed since a state, written once for all who have that one.
func (s *shown) change(had int) (sse.Chunk, error) {
	s.mutex.RLock()
	ready, is := s.since[had]
	s.mutex.RUnlock()
	if is {
		return ready, nil
	}
	s.mutex.Lock()
	defer s.mutex.Unlock()
	if ready, is := s.since[had]; is {
		return ready, nil // somebody was faster
	}
	change, err := json.Marshal(s.doc.Since(had))
	if err != nil {
		return sse.Chunk{}, err
	}
	ready = sse.Compressed(fmt.Appendf(nil, "event: change\nid: %d-%d-%s\ndata: {\"change\":%s,\"run\":%q,\"now_ms\":", s.epoch, s.doc.Seq(), s.run, change, s.run))
	if len(s.since) < sinceMost {
		s.since[had] = ready
	}
	return ready, nil
}

// BenchNow is what the clock of a game's bench says now, as far as it is known: the
// clock of the game is anchored in it.
func (g *Games) BenchNow(id string) entry.Millis {
	return g.Now() + entry.Millis(g.game(id).ahead.Load())
}

// BenchNow is the same for the game that is followed.
func (f *Follower) BenchNow() entry.Millis {
	return f.games.Now() + entry.Millis(f.at.ahead.Load())
}

// Listed is a game in a list.
type Listed struct {
	ledgers.Game
	Title
	Filed Filed
	Shown bool         // what the title says is known
	Heard entry.Millis // when its bench was heard last; 0: not since the hub was started
}

// List returns the games of the association with their titles, those heard last first.
// What cannot be worked out is in the list without one.
func (g *Games) List(ctx context.Context) ([]Listed, error) {
	games, err := g.Store.Games(ctx, g.Association)
	if err != nil {
		return nil, err
	}
	list := make([]Listed, len(games))
	for i, one := range games {
		list[i] = g.Listed(ctx, one)
	}
	return list, nil
}

// Listed is one game as lists show it.
func (g *Games) Listed(ctx context.Context, one ledgers.Game) Listed {
	out := Listed{Game: one}
	out.Title, out.Filed, out.Shown = g.title(ctx, one)
	g.mutex.Lock()
	at := g.games[one.ID]
	g.mutex.Unlock()
	if at != nil {
		at.mutex.Lock()
		out.Heard = at.heard
		at.mutex.Unlock()
	}
	return out
}

// Title is what lists show of a game that ends so; false: it cannot be shown.
func (g *Games) Title(ctx context.Context, id string, head ledgers.Head) (Title, bool) {
	title, _, known := g.title(ctx, ledgers.Game{ID: id, Head: head, Heard: g.Now()})
	return title, known
}

// title is that of a game, from memory, from the store, or worked out.
func (g *Games) title(ctx context.Context, one ledgers.Game) (t Title, f Filed, known bool) {
	if !one.Forked {
		raw, err := g.Store.Title(ctx, ledgers.Where{Association: g.Association, Game: one.ID}, one.Seq, one.Hash)
		var kept listed
		if err == nil && len(raw) > 0 && json.Unmarshal(raw, &kept) == nil && kept.Filed != nil {
			return kept.Title, *kept.Filed, true
		}
	}
	at := g.game(one.ID)
	if b := at.briefly(); b.seq > 0 && b.seq == one.Seq && b.last == one.Hash && !one.Forked && at.shown.Load() == nil {
		return b.title, b.filed, true
	}
	if err := g.read(ctx, at); err != nil {
		return t, f, false
	}
	s := at.shown.Load()
	if s == nil {
		return t, f, false
	}
	if g.Now()-one.Heard > quietFor {
		g.keepTitle(ctx, at, s)
	}
	return s.title, s.filed, true
}

// quietFor is after how long without a line a title is worth keeping: until then the
// next line makes it anew, and keeping it would cost as much as keeping the line.
const quietFor = 10 * 60_000

func (g *Games) keepTitle(ctx context.Context, at *game, s *shown) {
	at.reading.Lock()
	defer at.reading.Unlock()
	raw, err := json.Marshal(listed{s.title, &s.filed})
	if err == nil && len(at.ledger) == s.doc.Seq() {
		err = g.Store.KeepTitle(ctx, at.where, s.doc.Seq(), at.last, raw)
	}
	if err != nil {
		g.Logger.Warn("the title of a game was not kept; it is worked out again when somebody asks", "game", at.where.Game, "error", err)
	}
}
