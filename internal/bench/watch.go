package bench

import (
	"context"
	"sync"

	"whistlestop/game/rules"
	"whistlestop/internal/changes"
)

// Update is the state of a game after an entry.
type Update struct {
	State rules.State
	Doc   *changes.Doc // State as JSON, written once for everybody, with what changed since
	Card  []byte       // the view of the rink card as JSON; nothing where none is in use
}

// JSON is the state as JSON.
func (u Update) JSON() []byte {
	if u.Doc == nil {
		return nil
	}
	return u.Doc.Whole()
}

// Watch is one who follows a game. Updates holds the newest state only: whoever
// is slow misses states in between, and never makes anybody wait.
type Watch struct {
	updates chan Update
	leave   func()
	once    sync.Once
	left    bool // under the mutex of the game's watches
}

// Updates gives the state now, then every newer one. It is closed when the
// bench closes.
func (w *Watch) Updates() <-chan Update { return w.updates }

// Close ends the watch. It may be called more than once.
func (w *Watch) Close() { w.once.Do(w.leave) }

// Watch follows a game until the watch or the bench is closed.
func (b *Bench) Watch(ctx context.Context, id string) (*Watch, error) {
	g, err := b.game(ctx, id)
	if err != nil {
		return nil, err
	}
	w := &Watch{updates: make(chan Update, 1)}
	w.leave = func() { g.watches.leave(w) }
	_, err = ask(ctx, g, func() (*Watch, error) {
		if err := g.ready(); err != nil {
			return nil, err
		}
		g.watches.join(w, g.current())
		return w, nil
	})
	if err != nil {
		w.Close() // it may still join: nobody would ever close it
		return nil, err
	}
	return w, nil
}

// watches are those who follow one game. Joining and telling happen on the
// game's goroutine; leaving may happen anywhere, also when that goroutine has
// ended.
type watches struct {
	mutex  sync.Mutex
	all    map[*Watch]bool
	closed bool
}

func (ws *watches) join(w *Watch, now Update) {
	ws.mutex.Lock()
	defer ws.mutex.Unlock()
	if w.left {
		return
	}
	if ws.closed {
		close(w.updates)
		return
	}
	if ws.all == nil {
		ws.all = map[*Watch]bool{}
	}
	ws.all[w] = true
	w.updates <- now // its buffer is empty
}

func (ws *watches) leave(w *Watch) {
	ws.mutex.Lock()
	defer ws.mutex.Unlock()
	w.left = true
	delete(ws.all, w)
}

// count is how many follow the game.
func (ws *watches) count() int {
	ws.mutex.Lock()
	defer ws.mutex.Unlock()
	return len(ws.all)
}

// tell gives everybody the update in place of one that was not read yet.
func (ws *watches) tell(u Update) {
	ws.mutex.Lock()
	defer ws.mutex.Unlock()
	for w := range ws.all {
		select {
		case <-w.updates:
		default:
		}
		w.updates <- u // only tell and join send, so there is room
	}
}

func (ws *watches) close() {
	ws.mutex.Lock()
	defer ws.mutex.Unlock()
	ws.closed = true
	for w := range ws.all {
		close(w.updates)
	}
	ws.all = nil
}
