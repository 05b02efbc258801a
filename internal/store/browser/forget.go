package browser

import (
	"context"
	"maps"
	"slices"

	"whistlestop/game/entry"
	"whistlestop/internal/store"
)

// Learn keeps texts that a ledger has commitments for and no texts, as an older copy
// of it knows them. What was taken out stays out.
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
	var fresh []entry.Name
	for _, n := range names {
		if known, there := g.beside[n.Commitment]; there && known.Text == "" && !g.gone[n.Commitment] && n.Valid() {
			fresh = append(fresh, n)
		}
	}
	if len(fresh) == 0 {
		return nil
	}
	return s.add(record{Game: id, Names: named(fresh)})
}

// Forget takes texts out of a game in one act, all or nothing: it deletes the texts of
// the commitments, puts the lines in place of older ones with texts inside, appends
// the entries that say so, and returns when no file has the texts any more.
func (s *Store) Forget(ctx context.Context, id string, commitments []string, lines, entries []entry.Entry) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	s.mutex.Lock()
	defer s.mutex.Unlock()
	before := s.games[id]
	if before == nil {
		return store.ErrMoved
	}
	after := &game{id: id, opened: before.opened, ids: slices.Clone(before.ids), lines: slices.Clone(before.lines),
		beside: maps.Clone(before.beside), gone: maps.Clone(before.gone)}
	var more record
	if len(entries) > 0 {
		var err error
		if more, err = s.follows(id, entries); err != nil {
			return err
		}
	}
	if err := store.Replace(after.lines, lines); err != nil {
		return err
	}
	for _, n := range append(store.Commitments(lines), store.Commitments(entries)...) {
		after.learn(n)
	}
	after.ids, after.lines = append(after.ids, more.IDs...), append(after.lines, more.lines...)
	for _, commitment := range commitments {
		after.beside[commitment] = entry.Name{Game: id, Commitment: commitment}
		after.gone[commitment] = true
	}
	s.games[id] = after
	s.decoded.Forget()
	if err := s.rewrite(); err != nil {
		s.games[id] = before
		return err
	}
	for _, one := range more.IDs {
		s.ids[one] = true
	}
	return nil
}

// rewrite writes everything into the other file, which counts from then on, and
// empties this one. The first line is written last: until it is there, this file
// counts.
func (s *Store) rewrite() error {
	to := 1 - s.now
	if s.generation == 0 {
		to = s.now
	}
	var body []byte
	for _, id := range slices.Backward(s.newest()) {
		raw, err := s.games[id].record().framed()
		if err != nil {
			return err
		}
		body = append(body, raw...)
	}
	file := s.files[to]
	for _, do := range []func() error{
		func() error { return file.Truncate(0) },
		func() error { return file.Write(body, int64(headLength)) },
		file.Flush,
		func() error { return file.Write(head(s.generation+1), 0) },
		file.Flush,
	} {
		if err := do(); err != nil {
			return err
		}
	}
	from := s.files[s.now]
	s.generation, s.end = s.generation+1, int64(headLength+len(body))
	if s.now == to {
		return nil
	}
	s.now = to
	if err := from.Truncate(0); err != nil {
		return err
	}
	return from.Flush()
}

// record is the whole of a game.
func (g *game) record() record {
	r := record{Game: g.id, Opened: g.opened, IDs: g.ids, lines: g.lines, Gone: slices.Sorted(maps.Keys(g.gone))}
	for _, commitment := range slices.Sorted(maps.Keys(g.beside)) {
		if n := g.beside[commitment]; !g.gone[commitment] {
			r.Names = append(r.Names, name{commitment, n.Random, n.Text})
		}
	}
	return r
}
