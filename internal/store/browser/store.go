package browser

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"
	"sync"

	"whistlestop/game/entry"
	"whistlestop/internal/store"
)

// Store is the ledgers of a browser. It is safe for use by many goroutines.
type Store struct {
	mutex      sync.Mutex
	files      [2]Handle
	now        int // which of the files counts
	generation uint64
	end        int64 // of what counts in it
	games      map[string]*game
	ids        map[string]bool
	decoded    store.Decoded
}

type game struct {
	id     string
	opened entry.Millis
	ids    []string
	lines  []store.Line
	beside store.Beside
	gone   map[string]bool // commitments whose text was taken out
}

// Open opens the ledgers that lie in two files, and begins with none where both are
// empty.
func Open(first, second Handle) (*Store, error) {
	s := &Store{files: [2]Handle{first, second}, games: map[string]*game{}, ids: map[string]bool{}}
	var content []byte
	empty := true
	for i, file := range s.files {
		has, err := file.Read()
		if err != nil {
			return nil, err
		}
		empty = empty && len(has) <= headLength // a first line may have been cut off
		if generation := generationOf(has); generation > s.generation {
			s.now, s.generation, content = i, generation, has
		}
	}
	if s.generation == 0 {
		if !empty {
			return nil, store.ErrDamaged
		}
		return s, s.rewrite()
	}
	list, end := records(content)
	for _, r := range list {
		s.take(r)
	}
	s.end = int64(end)
	if end < len(content) {
		return s, s.cut()
	}
	return s, nil
}

// cut takes away what is behind the end.
func (s *Store) cut() error {
	if err := s.files[s.now].Truncate(s.end); err != nil {
		return err
	}
	return s.files[s.now].Flush()
}

// take takes a record into the memory.
func (s *Store) take(r record) {
	g := s.games[r.Game]
	if g == nil {
		g = &game{id: r.Game, opened: r.Opened, beside: store.Beside{}, gone: map[string]bool{}}
		s.games[r.Game] = g
	}
	for _, id := range r.IDs {
		s.ids[id] = true
	}
	g.ids = append(g.ids, r.IDs...)
	g.lines = append(g.lines, r.lines...)
	for _, commitment := range r.Gone {
		g.beside[commitment] = entry.Name{Game: g.id, Commitment: commitment}
		g.gone[commitment] = true
	}
	for _, n := range r.Names {
		g.learn(entry.Name{Game: g.id, Commitment: n.Commitment, Random: n.Random, Text: n.Text})
	}
}

// learn keeps a text that lies beside the lines. One that is known stays, and one that
// was taken out stays out.
func (g *game) learn(n entry.Name) {
	known, there := g.beside[n.Commitment]
	if !there || known.Text == "" && !g.gone[n.Commitment] {
		g.beside[n.Commitment] = n
	}
}

// named are names as a record has them.
func named(list []entry.Name) (names []name) {
	for _, n := range list {
		names = append(names, name{n.Commitment, n.Random, n.Text})
	}
	return names
}

// add writes a record behind the others, and takes it only when it is safe. When that
// fails nothing of it stays: where even that cannot be done, the next record is
// written over it.
func (s *Store) add(r record) error {
	raw, err := r.framed()
	if err != nil {
		return err
	}
	err = s.files[s.now].Write(raw, s.end)
	if err == nil {
		err = s.files[s.now].Flush()
	}
	if err != nil {
		return errors.Join(err, s.cut())
	}
	s.end += int64(len(raw))
	s.take(r)
	return nil
}

// Append adds the entries of one post to the end of the game's ledger, all or none,
// and returns when they are safe. The first of them must have the number that follows
// the newest entry; otherwise, or when an id is known already, it returns
// store.ErrMoved.
func (s *Store) Append(ctx context.Context, id string, entries []entry.Entry) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	s.mutex.Lock()
	defer s.mutex.Unlock()
	r, err := s.follows(id, entries)
	if err != nil {
		return err
	}
	return s.add(r)
}

// follows is the record of entries that follow the ledger of their game.
func (s *Store) follows(id string, entries []entry.Entry) (record, error) {
	lines, err := store.Lines(id, entries)
	if err != nil {
		return record{}, err
	}
	r := record{Game: id, Opened: entries[0].Wall, Names: named(store.Commitments(entries)), lines: lines}
	kept := 0
	if g := s.games[id]; g != nil {
		kept, r.Opened = len(g.lines), 0
	}
	if entries[0].Seq != kept+1 {
		return r, fmt.Errorf("game %s has %d entries: %w", id, kept, store.ErrMoved)
	}
	for _, e := range entries {
		if s.ids[e.ID] || slices.Contains(r.IDs, e.ID) {
			return r, fmt.Errorf("entry %s is in the store already: %w", e.ID, store.ErrMoved)
		}
		r.IDs = append(r.IDs, e.ID)
	}
	return r, nil
}

// Load returns the ledger of a game, oldest entry first; empty when there is no such
// game.
func (s *Store) Load(ctx context.Context, id string) ([]entry.Entry, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	s.mutex.Lock()
	defer s.mutex.Unlock()
	g := s.games[id]
	if g == nil {
		return nil, nil
	}
	return store.Read(id, g.lines, g.beside, &s.decoded)
}

// Games returns the ids of all games, the newest first.
func (s *Store) Games(ctx context.Context) ([]string, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	s.mutex.Lock()
	defer s.mutex.Unlock()
	return s.newest(), nil
}

// Ends returns the number of the newest entry of each game.
func (s *Store) Ends(ctx context.Context) (map[string]int, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	s.mutex.Lock()
	defer s.mutex.Unlock()
	ends := make(map[string]int, len(s.games))
	for id, g := range s.games {
		ends[id] = len(g.lines)
	}
	return ends, nil
}

func (s *Store) newest() []string {
	return slices.SortedFunc(maps.Keys(s.games), func(a, b string) int {
		return cmp.Or(cmp.Compare(s.games[b].opened, s.games[a].opened), cmp.Compare(b, a))
	})
}

// Close does nothing: whoever opened the files closes them.
func (s *Store) Close() error { return nil }
