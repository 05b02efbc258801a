package csv

import (
	"encoding/csv"
	"errors"
	"io"
	"strings"

	"whistlestop/game/message"
	"whistlestop/record/rows"
)

// mark is the byte order mark, by which spreadsheets know that a file is UTF-8.
const mark = "\ufeff"

// Limits of a file that is read.
const (
	readMost = 1 << 20 // bytes
	rowsMost = 20_000
)

// ErrLarge is returned for a file beyond the limits.
var ErrLarge = message.New("csv.too_large")

// Write writes facts: a row of column names, then a row for each fact, with the
// line ends of RFC 4180.
func Write(out io.Writer, list []rows.Fact) error {
	if _, err := io.WriteString(out, mark); err != nil {
		return err
	}
	w := csv.NewWriter(out)
	w.UseCRLF = true
	names := make([]string, len(rows.Columns))
	for i, c := range rows.Columns {
		names[i] = string(c)
	}
	if err := w.Write(names); err != nil {
		return err
	}
	for _, f := range list {
		row := f.Row(rows.Columns)
		for i, text := range row {
			row[i] = guard(text)
		}
		if err := w.Write(row); err != nil {
			return err
		}
	}
	w.Flush()
	return w.Error()
}

// guarded are the first characters that make a spreadsheet take a text for a
// formula (OWASP, CSV injection; from memory), and the guard itself.
const guarded = "=+-@\t\r\n'"

// guard puts an apostrophe before a text that a spreadsheet would take for a
// formula: a name must never be carried out.
func guard(text string) string {
	if text != "" && strings.ContainsRune(guarded, rune(text[0])) {
		return "'" + text
	}
	return text
}

// Read reads what Write wrote.
func Read(in io.Reader) ([]rows.Fact, error) {
	raw, err := io.ReadAll(io.LimitReader(in, readMost+1))
	if err != nil {
		return nil, err
	}
	if len(raw) > readMost {
		return nil, ErrLarge
	}
	text := strings.TrimPrefix(string(raw), mark)
	r := csv.NewReader(strings.NewReader(text)) // every line has as many fields as the first
	if first, _, _ := strings.Cut(text, "\n"); strings.Count(first, ";") > strings.Count(first, ",") {
		r.Comma = ';' // a spreadsheet has saved it again, in a country that writes 1,5
	}
	names, err := r.Read()
	if err != nil {
		return nil, message.Because(err, "csv.no_names")
	}
	var lines [][]string
	for {
		row, err := r.Read()
		if errors.Is(err, io.EOF) {
			return rows.Read(names, lines)
		}
		if err != nil {
			return nil, err
		}
		if len(lines) == rowsMost {
			return nil, ErrLarge
		}
		for i, text := range row {
			row[i] = strings.TrimPrefix(text, "'")
		}
		lines = append(lines, row)
	}
}
