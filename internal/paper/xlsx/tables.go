package xlsx

import (
	"io"
	"slices"

	"github.com/xuri/excelize/v2"

	"whistlestop/record/tables"
)

// How a spreadsheet shows thousandths, and numbers with their sign.
const (
	asThousandths = "0.000"
	asSigned      = "+0;-0;0"
)

// WriteTables writes a document as a workbook with a sheet for each kind of table: numbers
// stay numbers. The same document gives the same bytes.
func WriteTables(out io.Writer, d tables.Document, words Words) (err error) {
	f := &book{File: excelize.NewFile(), words: words, styles: map[string]int{}}
	defer func() {
		if closing := f.Close(); err == nil {
			err = closing
		}
	}()
	bold, err := f.begin(asTime, asThousandths, asSigned)
	if err != nil {
		return err
	}
	first := true
	for _, name := range d.Names() {
		t := d.Flat(name)
		title := words.Text(t.Title.Key, t.Title.Args)
		if first {
			err, first = f.SetSheetName("Sheet1", title), false
		} else {
			_, err = f.NewSheet(title)
		}
		if err == nil {
			err = f.table(title, t, bold)
		}
		if err != nil {
			return err
		}
	}
	return f.Write(out)
}

// table writes one sheet.
func (f *book) table(sheet string, t tables.Table, bold int) error {
	for i, c := range t.Columns {
		if err := f.set(sheet, i, 0, plain(f.words.Text(c.Title, nil))); err != nil {
			return err
		}
		width := 6.0
		for row := range t.Rows {
			one := t.Rows[row][i]
			width = max(width, min(60, float64(len([]rune(one.In(f.words))))+2))
			if err := f.set(sheet, i, row+1, f.cell(one)); err != nil {
				return err
			}
		}
		if err := f.width(sheet, i, max(width, float64(len([]rune(f.words.Text(c.Title, nil))))+2)); err != nil {
			return err
		}
	}
	return f.heading(sheet, bold)
}

// cell is what a cell of a table holds.
func (f *book) cell(c tables.Cell) value {
	switch c.Kind {
	case tables.Whole:
		return value{number: float64(c.Number), isOne: true}
	case tables.Signed:
		return value{number: float64(c.Number), isOne: true, shown: asSigned}
	case tables.Thousandths:
		return value{number: float64(c.Number) / 1000, isOne: true, shown: asThousandths}
	case tables.Seconds:
		return value{number: float64(c.Number) / secondsOfDay, isOne: true, shown: asTime}
	case tables.Text, tables.Sentence:
	}
	return plain(c.In(f.words))
}

// begin makes the forms in which values are shown, and returns that of titles.
func (f *book) begin(shown ...string) (bold int, err error) {
	const day = "2026-01-01T00:00:00Z" // nothing in it depends on when it was written
	if err := f.SetDocProps(&excelize.DocProperties{Creator: "Whistlestop", Created: day, Modified: day}); err != nil {
		return 0, err
	}
	if bold, err = f.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true}}); err != nil {
		return 0, err
	}
	for _, code := range slices.Clone(shown) {
		if f.styles[code], err = f.NewStyle(&excelize.Style{CustomNumFmt: &code}); err != nil {
			return 0, err
		}
	}
	return bold, nil
}

// width sets how wide a column is, from 0.
func (f *book) width(sheet string, column int, width float64) error {
	letter, err := excelize.ColumnNumberToName(column + 1)
	if err != nil {
		return err
	}
	return f.SetColWidth(sheet, letter, letter, width)
}

// heading makes the first row stand out, and stay in sight.
func (f *book) heading(sheet string, bold int) error {
	if err := f.SetRowStyle(sheet, 1, 1, bold); err != nil {
		return err
	}
	return f.SetPanes(sheet, &excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"})
}
