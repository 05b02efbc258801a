package tables

import (
	"encoding/csv"
	"io"
	"strings"
	"text/tabwriter"
)

// Format is one form of a table.
type Format struct {
	Name  string // and the ending of its files
	Media string // type of the media, with its parameters
	write func(out io.Writer, rows [][]string) error
}

// The formats of a table.
var (
	Text = Format{"txt", "text/plain; charset=utf-8", text} // columns side by side, for people
	CSV  = Format{"csv", "text/csv; charset=utf-8; header=present", func(out io.Writer, rows [][]string) error {
		return csv.NewWriter(out).WriteAll(rows)
	}}
)

// Formats are all of them. A further one is a row here.
var Formats = []Format{Text, CSV}

// ByName finds a format.
func ByName(name string) (Format, bool) {
	for _, f := range Formats {
		if f.Name == name {
			return f, true
		}
	}
	return Format{}, false
}

// Write writes a table.
func (f Format) Write(out io.Writer, rows [][]string) error { return f.write(out, rows) }

// gap is how many blanks stand between two columns at least.
const gap = 2

func text(out io.Writer, rows [][]string) error {
	to := tabwriter.NewWriter(out, 0, 0, gap, ' ', 0)
	for _, row := range rows {
		if _, err := io.WriteString(to, strings.Join(row, "\t")+"\n"); err != nil {
			return err
		}
	}
	return to.Flush()
}
