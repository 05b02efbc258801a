package pocket

import (
	"sync"

	"whistlestop/internal/paper/letters"
)

// faces are the files with letters for the PDF that were fetched.
type faces struct {
	fetch func(name string) error // nil: none can be had
	had   sync.Map                // by their names
}

// fetchLetters fetches the files that a text needs and that were not fetched yet. What
// does not come stands as question marks, and the document says of which name.
func (b *Bench) fetchLetters(text string) {
	if b.faces.fetch == nil {
		return
	}
	for _, name := range letters.Files(text) {
		if _, had := b.faces.had.Load(name); had {
			continue
		}
		if err := b.faces.fetch(name); err != nil {
			b.service.Logger.Warn("letters for the PDF cannot be had now", "file", name, "error", err)
			return
		}
		b.faces.had.Store(name, true)
	}
}
