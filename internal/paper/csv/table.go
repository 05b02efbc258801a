package csv

import (
	"encoding/csv"
	"io"

	"whistlestop/record/tables"
)

// Table writes one table: a row of titles, then its rows, in the form of Write.
func Table(out io.Writer, t tables.Table, words tables.Words) error {
	if _, err := io.WriteString(out, mark); err != nil {
		return err
	}
	w := csv.NewWriter(out)
	w.UseCRLF = true
	titles := make([]string, len(t.Columns))
	for i, c := range t.Columns {
		titles[i] = words.Text(c.Title, nil)
	}
	lines := [][]string{titles}
	for _, row := range t.Rows {
		line := make([]string, len(row))
		for i, cell := range row {
			line[i] = cell.In(words)
			if !cell.IsNumber() {
				line[i] = guard(line[i])
			}
		}
		lines = append(lines, line)
	}
	return w.WriteAll(lines)
}
