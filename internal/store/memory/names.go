package memory

import (
	"context"

	"whistlestop/game/entry"
	"whistlestop/internal/store"
)

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
	if err := store.Replace(g.lines, lines); err != nil {
		return err
	}
	g.learn(lines)
	for _, commitment := range commitments {
		g.beside[commitment] = entry.Name{Game: id, Commitment: commitment}
		g.gone[commitment] = true
	}
	return nil
}
