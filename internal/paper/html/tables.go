package html

import (
	_ "embed"
	"io"

	"whistlestop/game/message"
	"whistlestop/record/tables"
)

//go:embed tables.html
var tablesText string

// Tables writes a document of tables as one page: no script, nothing loaded from
// elsewhere.
func Tables(out io.Writer, d tables.Document, words Words) error {
	return write(out, tablesText, nil, &tablesPage{Document: d, words: words, Policy: Policy})
}

// tablesPage is what the template asks.
type tablesPage struct {
	tables.Document
	Policy string
	words  Words
}

// Language is what the page is written in.
func (p *tablesPage) Language() string { return p.words.Language() }

// Title is the document's.
func (p *tablesPage) Title() string { return p.Document.Title.In(p.words) }

// Text is what stands in a cell.
func (p *tablesPage) Text(c tables.Cell) string { return c.In(p.words) }

// Word is a text of the catalogue without gaps.
func (p *tablesPage) Word(key string) string { return p.words.Text(key, nil) }

// Say is a sentence.
func (p *tablesPage) Say(s message.Say) string { return p.words.Text(s.Key, s.Args) }

// Shown says whether a table stands on the page: not one whose rows are notes under
// another one.
func (p *tablesPage) Shown(t tables.Table) bool { return !t.InNotes }
