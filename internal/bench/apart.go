package bench

import "whistlestop/game/entry"

// keepApart puts commitments in place of the texts about people in entries that
// are about to be chained. A text that the game has already keeps its random
// bytes, so that it lies beside the ledger once.
func (g *game) keepApart(entries []entry.Entry) {
	hides, can := g.bench.ids.(Hides)
	if !can {
		return
	}
	for i, e := range entries {
		entries[i] = entry.KeepApart(e, g.randomFor(hides))
	}
}

// randomFor gives the random bytes for a text.
func (g *game) randomFor(hides Hides) func(text string) []byte {
	return func(text string) []byte {
		if known, there := g.hidden[text]; there {
			return known
		}
		fresh := hides.Random()
		g.hidden[text] = fresh
		return fresh
	}
}

// hiddenIn are the texts that lie beside a ledger, with their random bytes.
func hiddenIn(ledger []entry.Entry) map[string][]byte {
	hidden := map[string][]byte{}
	for _, e := range ledger {
		for _, name := range e.Names() {
			if random, err := name.Bytes(); err == nil {
				hidden[name.Text] = random
			}
		}
	}
	return hidden
}
