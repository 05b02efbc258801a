package memory

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"sync"

	"whistlestop/game/entry"
	"whistlestop/internal/store"
)

// Store is ledgers in memory. It is safe for use by many goroutines.
type Store struct {
	mutex sync.Mutex
	games map[string]*game
	ids   map[string]bool
}

type game struct {
	id     string
	opened entry.Millis
	lines  []store.Line
	beside store.Beside
	gone   map[string]bool // commitments whose text was deleted
}

// New returns an empty store.
func New() *Store {
	return &Store{games: map[string]*game{}, ids: map[string]bool{}}
}

// Append adds the entries of one post to the end of the game's ledger, all or
// none. The first of them must have the number that follows the newest entry;
// otherwise, or when an id is known already, it returns store.ErrMoved.
func (s *Store) Append(ctx context.Context, id string, entries []entry.Entry) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	lines, err := store.Lines(id, entries)
	if err != nil {
		return err
	}
	s.mutex.Lock()
	defer s.mutex.Unlock()
	g := s.games[id]
	if g == nil {
		g = &game{id: id, opened: entries[0].Wall, beside: store.Beside{}, gone: map[string]bool{}}
	}
	if entries[0].Seq != len(g.lines)+1 {
		return fmt.Errorf("game %s has %d entries: %w", id, len(g.lines), store.ErrMoved)
	}
	fresh := map[string]bool{}
	for _, e := range entries {
		if s.ids[e.ID] || fresh[e.ID] {
			return fmt.Errorf("entry %s is in the store already: %w", e.ID, store.ErrMoved)
		}
		fresh[e.ID] = true
	}
	for known := range fresh {
		s.ids[known] = true
	}
	g.lines = append(g.lines, lines...)
	g.learn(entries)
	s.games[id] = g
	return nil
}

// Load returns the ledger of a game, oldest entry first; empty when there is no
// such game.
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
	return store.Read(id, g.lines, g.beside, nil)
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

// Games returns the ids of all games, the newest first.
func (s *Store) Games(ctx context.Context) ([]string, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	s.mutex.Lock()
	defer s.mutex.Unlock()
	all := make([]*game, 0, len(s.games))
	for _, g := range s.games {
		all = append(all, g)
	}
	slices.SortFunc(all, func(a, b *game) int {
		return cmp.Or(cmp.Compare(b.opened, a.opened), cmp.Compare(b.id, a.id))
	})
	ids := make([]string, len(all))
	for i, g := range all {
		ids[i] = g.id
	}
	return ids, nil
}

// Close does nothing: there is nothing to close.
func (s *Store) Close() error { return nil }
