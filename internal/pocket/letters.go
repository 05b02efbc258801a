package pocket

import (
	"encoding/json"

	"whistlestop/internal/paper/pdf"
)

// letters fetches what a document needs to be written with all its letters. What does
// not come stands as question marks, and the document says of which name.
func (b *Bench) letters(document any) {
	raw, err := json.Marshal(document)
	if err != nil {
		return // whoever writes it says why
	}
	b.fetchLetters(string(raw))
}

// fetchLetters fetches the files that a text needs and that were not fetched yet.
func (b *Bench) fetchLetters(text string) {
	if b.face == nil {
		return
	}
	for _, name := range pdf.Lacking(text) {
		content, err := b.face(name)
		if err != nil {
			b.service.Logger.Warn("letters for the PDF cannot be had now", "file", name, "error", err)
			return
		}
		pdf.Take(name, content)
	}
}
