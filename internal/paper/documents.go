package paper

import (
	"encoding/json"
	"io"

	"whistlestop/game/message"
	"whistlestop/internal/paper/csv"
	"whistlestop/internal/paper/html"
	"whistlestop/internal/paper/pdf"
	"whistlestop/internal/paper/xlsx"
	"whistlestop/record/tables"
)

// The writers of documents of tables, as the rows of Formats name them.
func pdfTables(out io.Writer, d tables.Document, o Options) error {
	return pdf.Tables(out, d, pdf.Paper(o.Paper), o.Words)
}

func xlsxTables(out io.Writer, d tables.Document, o Options) error {
	return xlsx.WriteTables(out, d, o.Words)
}

// csvTables writes one table: a file of rows has one kind of them.
func csvTables(out io.Writer, d tables.Document, o Options) error {
	names := d.Names()
	if len(names) != 1 {
		return message.New("season_book.one_table")
	}
	return csv.Table(out, d.Flat(names[0]), o.Words)
}

func htmlTables(out io.Writer, d tables.Document, o Options) error {
	return html.Tables(out, d, o.Words)
}

// tableJSON is a table for programs: a row is an object with the names of the columns,
// numbers are numbers, shares and averages are thousandths, times are seconds.
type tableJSON struct {
	Name  string           `json:"name"`
	In    string           `json:"in,omitempty"` // id of the division
	Rows  []map[string]any `json:"rows"`
	Notes []string         `json:"notes,omitempty"`
}

func jsonTables(out io.Writer, d tables.Document, o Options) error {
	all := struct {
		Title  string      `json:"title"`
		About  []string    `json:"about"`
		Tables []tableJSON `json:"tables"`
	}{Title: d.Title.In(o.Words), About: []string{}, Tables: []tableJSON{}}
	for _, about := range d.About {
		all.About = append(all.About, about.In(o.Words))
	}
	for _, part := range d.Parts {
		for _, t := range part.Tables {
			one := tableJSON{Name: t.Name, In: part.ID, Rows: []map[string]any{}}
			for _, note := range t.Notes {
				one.Notes = append(one.Notes, o.Words.Text(note.Key, note.Args))
			}
			for _, row := range t.Rows {
				fields := map[string]any{}
				for i, cell := range row {
					if cell.IsNumber() {
						fields[t.Columns[i].Name] = cell.Number
					} else {
						fields[t.Columns[i].Name] = cell.In(o.Words)
					}
				}
				one.Rows = append(one.Rows, fields)
			}
			all.Tables = append(all.Tables, one)
		}
	}
	to := json.NewEncoder(out)
	to.SetIndent("", "  ")
	return to.Encode(all)
}

// TakesTables says whether a format is one of documents of tables too.
func (f Format) TakesTables() bool { return f.tables != nil }

// WriteTables writes a document of tables. The same document gives the same bytes.
func (f Format) WriteTables(out io.Writer, d tables.Document, o Options) error {
	return f.tables(out, d, o)
}
