package xlsx

import (
	"io"
	"slices"
	"strconv"

	"github.com/xuri/excelize/v2"

	"whistlestop/game/rules"
	"whistlestop/record/rows"
)

// Words are the texts for people by their keys.
type Words interface {
	Text(key string, args rules.Args) string
}

// counts are the columns that hold numbers one can add up. Everything else is
// text, also the numbers of sweaters: 07 is not 7.
var counts = []rows.Column{
	rows.Period, rows.Goals, rows.Assists, rows.Shots, rows.Saves, rows.PlusMinus,
	rows.Won, rows.Lost, rows.Version,
}

// Write writes a workbook. The same facts give the same bytes.
func Write(out io.Writer, list []rows.Fact, words Words) (err error) {
	f := excelize.NewFile()
	defer func() {
		if closing := f.Close(); err == nil {
			err = closing
		}
	}()
	const day = "2026-01-01T00:00:00Z" // nothing in it depends on when it was written
	if err := f.SetDocProps(&excelize.DocProperties{Creator: "Whistlestop", Created: day, Modified: day}); err != nil {
		return err
	}
	bold, err := f.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true}})
	if err != nil {
		return err
	}
	first := true
	for _, record := range rows.Records {
		some := slices.DeleteFunc(slices.Clone(list), func(one rows.Fact) bool { return one.Get(rows.Record) != record })
		if len(some) == 0 {
			continue
		}
		name := words.Text("fact.record."+record, nil)
		if first {
			err, first = f.SetSheetName("Sheet1", name), false
		} else {
			_, err = f.NewSheet(name)
		}
		if err != nil {
			return err
		}
		if err := sheet(f, name, some, words, bold); err != nil {
			return err
		}
	}
	return f.Write(out)
}

// sheet writes one kind of record. The column of records is left out: the sheet
// says it.
func sheet(f *excelize.File, name string, list []rows.Fact, words Words, bold int) error {
	columns := slices.DeleteFunc(rows.Used(list), func(c rows.Column) bool { return c == rows.Record })
	for i, c := range columns {
		if err := set(f, name, i, 0, c, words.Text("fact.column."+string(c), nil)); err != nil {
			return err
		}
		width := 6.0
		for row, one := range list {
			text := one.Get(c)
			width = max(width, min(60, float64(len([]rune(text)))+2))
			if err := set(f, name, i, row+1, c, text); err != nil {
				return err
			}
		}
		letter, err := excelize.ColumnNumberToName(i + 1)
		if err != nil {
			return err
		}
		if err := f.SetColWidth(name, letter, letter, width); err != nil {
			return err
		}
	}
	if err := f.SetRowStyle(name, 1, 1, bold); err != nil {
		return err
	}
	return f.SetPanes(name, &excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"})
}

// set writes one cell. A text never becomes a formula here, whatever it begins
// with.
func set(f *excelize.File, sheet string, column, row int, c rows.Column, text string) error {
	if text == "" {
		return nil
	}
	cell, err := excelize.CoordinatesToCellName(column+1, row+1)
	if err != nil {
		return err
	}
	if n, err := strconv.Atoi(text); err == nil && row > 0 && slices.Contains(counts, c) {
		return f.SetCellInt(sheet, cell, int64(n))
	}
	return f.SetCellStr(sheet, cell, text)
}
