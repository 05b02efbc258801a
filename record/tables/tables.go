package tables

import (
	"fmt"
	"slices"
	"strconv"

	"whistlestop/game/message"
)

// Words are the texts of a language for people, by their keys.
type Words interface {
	Text(key string, args message.Args) string
}

// Document is tables under a title, in parts.
type Document struct {
	Title Cell
	About []Cell // lines under the title
	Parts []Part
}

// Part is tables that belong together, as those of a division.
type Part struct {
	ID     string
	Title  string
	Tables []Table
}

// Table is rows under a title. Every row has a cell for each column.
type Table struct {
	Name    string // what it is, the same in every part and language
	Title   message.Say
	Columns []Column
	Rows    [][]Cell
	None    message.Say   // what stands there in place of rows
	Notes   []message.Say // sentences under it
	InNotes bool          // its rows are notes of another table: paper and pages leave it out
}

// Column is a column of a table.
type Column struct {
	Name  string // the same in every language
	Title string // its key
	Right bool   // numbers stand at the right
	Wide  bool   // gets the room that the others leave; one of a table
	Kept  bool   // stands on paper also where all of it is nought or empty
}

// Kind says how a cell is to be read.
type Kind int

// The kinds of cells.
const (
	Text        Kind = iota // as it is
	Sentence                // of the catalogue
	Whole                   // a whole number
	Signed                  // a whole number, with its sign
	Thousandths             // a whole number of them, shown with three decimals
	Seconds                 // shown as minutes and seconds
)

// Cell is what stands in a row.
type Cell struct {
	Kind   Kind
	Text   string
	Say    message.Say
	Number int
	Bold   bool // the row's most important one
}

// T is a cell of plain text.
func T(text string) Cell { return Cell{Text: text} }

// N is a cell with a whole number.
func N(number int) Cell { return Cell{Kind: Whole, Number: number} }

// S is a cell with a sentence; pairs fill its gaps.
func S(key string, pairs ...string) Cell {
	return Cell{Kind: Sentence, Say: message.Say{Key: key, Args: message.Pairs(pairs...)}}
}

// IsNumber says whether a cell holds a number.
func (c Cell) IsNumber() bool { return c.Kind >= Whole }

// In is what people read in a cell.
func (c Cell) In(words Words) string {
	switch c.Kind {
	case Text:
		return c.Text
	case Sentence:
		return words.Text(c.Say.Key, c.Say.Args)
	case Whole:
		return strconv.Itoa(c.Number)
	case Signed:
		return fmt.Sprintf("%+d", c.Number)
	case Thousandths:
		return fmt.Sprintf("%d.%03d", c.Number/1000, c.Number%1000)
	case Seconds:
		return fmt.Sprintf("%d:%02d", c.Number/60, c.Number%60)
	}
	return ""
}

// Names lists which tables a document has, each once, in their order.
func (d Document) Names() (names []string) {
	seen := map[string]bool{}
	for _, part := range d.Parts {
		for _, t := range part.Tables {
			if !seen[t.Name] {
				seen[t.Name] = true
				names = append(names, t.Name)
			}
		}
	}
	return names
}

// Flat is all tables of one name as one, for spreadsheets: where there are several
// parts with a title, a first column says of which a row is.
func (d Document) Flat(name string) Table {
	var out Table
	several, own := false, false
	for _, part := range d.Parts {
		several = several || part.Title != ""
		for _, t := range part.Tables {
			own = own || t.Name == name && slices.ContainsFunc(t.Columns, func(c Column) bool { return c.Name == "division" })
		}
	}
	several = several && !own // such a table says it already
	for _, part := range d.Parts {
		for _, t := range part.Tables {
			if t.Name != name {
				continue
			}
			if out.Name == "" {
				out.Name, out.Title, out.Columns = t.Name, t.Title, t.Columns
				if several {
					out.Columns = append([]Column{{Name: "division", Title: "season_book.division"}}, t.Columns...)
				}
			}
			for _, row := range t.Rows {
				if several {
					row = append([]Cell{T(part.Title)}, row...)
				}
				out.Rows = append(out.Rows, row)
			}
		}
	}
	return out
}
