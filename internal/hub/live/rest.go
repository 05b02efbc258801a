package live

// restMost is how many games stay worked out although nobody follows them (ours): as many as a
// country plays at once, so none is worked out anew for each of its entries. After a hub was
// away for a day thousands come in within minutes.
const restMost = 500

// brief is what lists show of a game, which stays when the rest of it is let go.
type brief struct {
	seq   int
	last  string // hash of that line
	title Title
	filed Filed
}

// rest notes that a game was asked for or read, and lets go what was worked out of the one for
// which that is longest ago, where there are too many. Whoever asks for that one later has it
// worked out again.
func (g *Games) rest(at *game) {
	if at.isFollowed() {
		return
	}
	if old := g.restLongest(at); old != nil {
		old.letGo()
	}
}

func (g *Games) restLongest(at *game) (old *game) {
	g.mutex.Lock()
	defer g.mutex.Unlock()
	switch {
	case g.games[at.where.Game] != at: // it was forgotten meanwhile
	case at.rests != nil:
		g.resting.MoveToFront(at.rests)
	default:
		at.rests = g.resting.PushFront(at)
	}
	if g.resting.Len() <= restMost {
		return nil
	}
	old, _ = g.resting.Remove(g.resting.Back()).(*game)
	old.rests = nil
	return old
}

func (at *game) briefly() brief {
	at.mutex.Lock()
	defer at.mutex.Unlock()
	return at.brief
}

// letGo drops what was worked out, unless somebody follows or is about to.
func (at *game) letGo() {
	if !at.reading.TryLock() {
		return // whoever reads it says once more that it rests
	}
	defer at.reading.Unlock()
	at.mutex.Lock()
	defer at.mutex.Unlock()
	if len(at.followers) > 0 {
		return
	}
	at.shown.Store(nil)
	at.worked, at.coming = worked{}, nil
}
