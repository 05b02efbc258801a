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

// learn keeps the texts that lie beside the entries.
func (g *game) learn(entries []entry.Entry) {
	for _, name := range store.Commitments(entries) {
		if known := g.beside[name.Commitment]; known.Text == "" && !g.gone[name.Commitment] {
			g.beside[name.Commitment] = name
		} else if known.Commitment == "" {
			g.beside[name.Commitment] = entry.Name{Game: g.id, Commitment: name.Commitment}
		}
	}
}

// Learn keeps texts that a ledger has commitments for and no texts, as an older
// copy of it knows them. What was taken out stays out.
func (s *Store) Learn(ctx context.Context, id string, names []entry.Name) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	s.mutex.Lock()
	defer s.mutex.Unlock()
	g := s.games[id]
	if g == nil {
		return nil
	}
	for _, name := range names {
		if known, there := g.beside[name.Commitment]; there && known.Text == "" && !g.gone[name.Commitment] && name.Valid() {
			g.beside[name.Commitment] = name
		}
	}
	return nil
}

// Forget takes texts out of a game in one act, all or nothing: it deletes the
// texts of the commitments, puts the lines in place of older ones with texts
// inside, and appends the entries that say so.
func (s *Store) Forget(ctx context.Context, id string, commitments []string, lines, entries []entry.Entry) error {
	if len(entries) > 0 {
		if err := s.Append(ctx, id, entries); err != nil {
			return err
		}
	}
	s.mutex.Lock()
	defer s.mutex.Unlock()
	g := s.games[id]
	if g == nil {
		return store.ErrMoved
	}
	for _, e := range lines {
		line, err := store.Replacement(e, func(seq int) (store.Line, bool) {
			if seq > len(g.lines) {
				return store.Line{}, false
			}
			return g.lines[seq-1], true
		})
		if err != nil {
			return err
		}
		g.lines[e.Seq-1] = line
	}
	g.learn(lines)
	for _, commitment := range commitments {
		g.beside[commitment] = entry.Name{Game: id, Commitment: commitment}
		g.gone[commitment] = true
	}
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
	return store.Read(id, g.lines, g.beside)
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
