package live

// MovedElsewhere is Moved for a game whose lines came into another process of the hub:
// it is looked at only where it is in memory here, because somebody follows it or asked
// for it. Whoever comes later reads it from the store.
func (g *Games) MovedElsewhere(id string) {
	g.mutex.Lock()
	known := g.games[id] != nil
	g.mutex.Unlock()
	if known {
		g.Moved(id)
	}
}

// InMemory returns the games in memory: those that somebody follows, or asked for lately.
func (g *Games) InMemory() []string {
	g.mutex.Lock()
	defer g.mutex.Unlock()
	all := make([]string, 0, len(g.games))
	for id := range g.games {
		all = append(all, id)
	}
	return all
}

// MovedAll looks at every game in memory: something may have come into another process
// and was not told.
func (g *Games) MovedAll() {
	for _, id := range g.InMemory() {
		g.Moved(id)
	}
}
