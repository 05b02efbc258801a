package bench

import "sync"

// loadedMost is how many games stay in memory. Beyond it those that nobody
// follows and whose clock stands are put back, the one that was looked at
// longest ago first: a season of games that somebody clicks through must not
// fill the memory of a laptop.
const loadedMost = 24

// shelf knows which games are in memory, and when each was looked at last.
type shelf struct {
	mutex  sync.Mutex
	uses   int
	loaded map[*game]int
}

// used notes that a game was looked at, and asks the one that can best be missed
// to go where there are too many.
func (s *shelf) used(g *game) {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	if s.loaded == nil {
		s.loaded = map[*game]int{}
	}
	s.uses++
	s.loaded[g] = s.uses
	if len(s.loaded) <= loadedMost {
		return
	}
	var oldest *game
	for other, used := range s.loaded {
		if other != g && !other.needed() && (oldest == nil || used < s.loaded[oldest]) {
			oldest = other
		}
	}
	if oldest == nil {
		return // every one of them is needed
	}
	delete(s.loaded, oldest)
	select {
	case oldest.drop <- struct{}{}:
	default: // it was asked already
	}
}

// count is how many games are in memory.
func (s *shelf) count() int {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	return len(s.loaded)
}

// needed reports whether a game has to stay in memory: its clock runs, or
// somebody follows it.
func (g *game) needed() bool { return g.running.Load() || g.watches.count() > 0 }

// unload puts the game back, unless it came to be needed meanwhile. What it
// refused stays known, and so does its line in the list of games.
func (g *game) unload() {
	if !g.loaded || g.needed() {
		if g.loaded {
			g.bench.shelf.used(g)
		}
		return
	}
	b := g.bench
	if len(g.ledger) > 0 {
		title := titleOf(g.id, g.ledger, g.update.State)
		b.keepIndexed(title, len(g.ledger))
		b.mutex.Lock()
		b.titles[g.id] = title
		b.mutex.Unlock()
	}
	g.ledger, g.place, g.folded, g.update, g.loaded = nil, map[string]int{}, nil, Update{}, false
}
