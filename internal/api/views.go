package api

import (
	"encoding/json"
	"sync"

	"whistlestop/game/entry"
	"whistlestop/internal/bench"
	"whistlestop/internal/changes"
)

// Cuts is what of a game whoever asks is answered.
type Cuts interface {
	// State is an update: what changed, where they say which state they have. The
	// time is not filled in.
	State(*Call, bench.Update, Has) (Snapshot, error)
	// Would is the game as drafts would make it.
	Would(*Call, bench.Considered, Has) (Snapshot, error)
	// Lines are entries as a file has them, for a copy, with the texts that the reader
	// may see beside them; or inside, for reading.
	Lines(c *Call, ledger []entry.Entry, inside bool) ([]byte, error)
	// Said is what the bench said against a post.
	Said(*Call, error) error
}

// Everything is for a bench that nobody else asks: its reader sees it all, whole
// each time, and nothing that cuts is built into it.
type Everything struct{}

// State is an update.
func (Everything) State(_ *Call, u bench.Update, _ Has) (Snapshot, error) {
	return Snapshot{State: u.JSON(), Card: u.Card}, nil
}

// Would is the game as drafts would make it.
func (Everything) Would(_ *Call, c bench.Considered, _ Has) (s Snapshot, err error) {
	s.State, err = json.Marshal(c.State)
	return s, err
}

// Lines are entries as a file has them.
func (Everything) Lines(_ *Call, ledger []entry.Entry, inside bool) ([]byte, error) {
	if !inside {
		return Lines(ledger)
	}
	plain := make([]entry.Entry, len(ledger))
	for i, e := range ledger {
		plain[i] = e.Plain()
	}
	return Lines(plain)
}

// Said is what the bench said.
func (Everything) Said(_ *Call, err error) error { return err }

// Views cuts what seats and strangers do not see. It keeps the newest state of each
// game as each reader may see it, so that the next one is written by going on from
// there. It is safe for use by many goroutines.
type Views struct {
	Run   string // of the bench, by which a client knows another one
	games Recent[seen]
}

// seen is one game: the newest state of each view.
type seen struct {
	mutex sync.Mutex
	docs  map[View]*changes.Doc
}

// Doc returns the state as its reader may see it; it may be newer than the update.
func (w *Views) Doc(u bench.Update, v View) (*changes.Doc, error) {
	if v.Whole() {
		return u.Doc, nil
	}
	at := w.games.Of(u.State.Game)
	at.mutex.Lock()
	defer at.mutex.Unlock()
	old := at.docs[v]
	if old != nil && old.Seq() >= u.State.Seq {
		return old, nil
	}
	fresh, err := v.doc(old, u)
	if err != nil {
		return nil, err
	}
	if at.docs == nil {
		at.docs = map[View]*changes.Doc{}
	}
	at.docs[v] = fresh
	return fresh, nil
}

// State is an update as whoever asked may see it.
func (w *Views) State(c *Call, u bench.Update, has Has) (Snapshot, error) {
	v := c.Sees()
	doc, err := w.Doc(u, v)
	if err != nil {
		return Snapshot{}, err
	}
	s := w.from(doc, has)
	if v.May(bench.ReadCards) {
		s.Card = u.Card
	}
	return s, nil
}

// Would is the game as drafts would make it, as whoever asked may see it.
func (w *Views) Would(c *Call, considered bench.Considered, has Has) (Snapshot, error) {
	v := c.Sees()
	update, err := considered.Update()
	if err != nil {
		return Snapshot{}, err
	}
	if v.Whole() {
		return w.from(update.Doc, has), nil
	}
	now, err := w.Doc(considered.Now, v)
	if err != nil {
		return Snapshot{}, err
	}
	doc, err := v.doc(now, update)
	if err != nil {
		return Snapshot{}, err
	}
	return w.from(doc, has), nil
}

// from puts what changed in the place of a whole state for whoever has an earlier
// one. A state of another run, or one that is not known, is answered with the
// whole.
func (w *Views) from(doc *changes.Doc, has Has) Snapshot {
	s := Snapshot{Run: w.Run}
	if has.Run != w.Run || has.Have <= 0 || has.Have > doc.Seq() {
		s.State = doc.Whole()
		return s
	}
	change := doc.Since(has.Have)
	s.Change = &change
	return s
}

// Lines are entries as a file has them for the reader.
func (*Views) Lines(c *Call, ledger []entry.Entry, inside bool) ([]byte, error) {
	return c.Sees().file(ledger, inside)
}

// Said is what the bench said against a post, as the reader may see it.
func (*Views) Said(c *Call, err error) error { return c.Sees().problem(err) }

// recentMost is how many games are kept ready: whoever looks at one game after
// the other must not fill the memory.
const recentMost = 16

// Recent keeps something for each of the games that were asked for last. It is
// safe for use by many goroutines.
type Recent[T any] struct {
	mutex sync.Mutex
	games map[string]*used[T]
	uses  int
}

type used[T any] struct {
	at    int // when
	value T
}

// Of returns what is kept for a game: something fresh, if nothing is.
func (r *Recent[T]) Of(game string) *T {
	r.mutex.Lock()
	defer r.mutex.Unlock()
	r.uses++
	one := r.games[game]
	if one == nil {
		if r.games == nil {
			r.games = map[string]*used[T]{}
		}
		if len(r.games) >= recentMost {
			oldest := ""
			for id, other := range r.games {
				if oldest == "" || other.at < r.games[oldest].at {
					oldest = id
				}
			}
			delete(r.games, oldest)
		}
		one = &used[T]{}
		r.games[game] = one
	}
	one.at = r.uses
	return &one.value
}
