package xlsx

import (
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/xuri/excelize/v2"

	"whistlestop/game/rules"
	"whistlestop/record/rows"
)

// Words are the texts for people by their keys.
type Words interface {
	Text(key string, args rules.Args) string
}

// The columns whose values are more than text: counts, numbers of sweaters (one
// with a leading zero stays text, since 07 is written so), and times.
var (
	counts = []rows.Column{
		rows.Period, rows.Goals, rows.Assists, rows.Shots, rows.Saves, rows.PlusMinus,
		rows.Won, rows.Lost, rows.Version, rows.StartPeriod, rows.EndPeriod, rows.BackPeriod,
	}
	sweaters = []rows.Column{rows.Number, rows.Assist1, rows.Assist2, rows.Goalkeeper, rows.ServedBy}
	times    = []rows.Column{rows.Elapsed, rows.Left, rows.Minutes, rows.Start, rows.End, rows.Back, rows.Time}
)

// How a spreadsheet shows times of play, dates, and instants.
const (
	asTime    = "[m]:ss"
	asDate    = "yyyy-mm-dd"
	asInstant = "yyyy-mm-dd hh:mm"
)

// A day is 1 to a spreadsheet, and the first one is that of Excel (ECMA-376,
// 18.17.4.1).
const (
	secondsOfDay = 24 * 60 * 60
	daysMost     = 1e6
)

var firstDay = time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)

// book is a workbook under way.
type book struct {
	*excelize.File
	words  Words
	zone   *time.Location
	styles map[string]int // by how values are shown
}

// Write writes a workbook, with the real start and finish in a zone of time. The
// same facts give the same bytes.
func Write(out io.Writer, list []rows.Fact, words Words, zone *time.Location) (err error) {
	f := &book{File: excelize.NewFile(), words: words, zone: zone, styles: map[string]int{}}
	defer func() {
		if closing := f.Close(); err == nil {
			err = closing
		}
	}()
	bold, err := f.begin(asTime, asDate, asInstant)
	if err != nil {
		return err
	}
	first := true
	for _, record := range rows.Records {
		some := slices.DeleteFunc(slices.Clone(list), func(one rows.Fact) bool { return one.Get(rows.Record) != record })
		if len(some) == 0 {
			continue
		}
		if record == "head" {
			some = withInstants(some)
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
		if err := f.sheet(name, some, bold); err != nil {
			return err
		}
	}
	return f.Write(out)
}

// sheet writes one kind of record. The column of records is left out: the sheet
// says it.
func (f *book) sheet(name string, list []rows.Fact, bold int) error {
	columns := slices.DeleteFunc(rows.Used(list), func(c rows.Column) bool { return c == rows.Record })
	for i, c := range columns {
		if err := f.set(name, i, 0, plain(f.words.Text("fact.column."+string(c), nil))); err != nil {
			return err
		}
		width := 6.0
		for row, one := range list {
			text := one.Get(c)
			width = max(width, min(60, float64(len([]rune(text)))+2))
			if err := f.set(name, i, row+1, f.value(one, c)); err != nil {
				return err
			}
		}
		if err := f.width(name, i, width); err != nil {
			return err
		}
	}
	return f.heading(name, bold)
}

// value is what a cell holds, and how it is shown.
type value struct {
	text   string
	number float64
	isOne  bool   // a number
	shown  string // one of the forms above; empty: as it is
}

func plain(text string) value { return value{text: text} }

// whole makes a number of a text that is one, written as one is.
func whole(text string) value {
	if n, err := strconv.ParseInt(text, 10, 64); err == nil && strconv.FormatInt(n, 10) == text && n < 1e15 && n > -1e15 {
		return value{number: float64(n), isOne: true}
	}
	return plain(text)
}

// played makes a time of minutes and seconds.
func played(text string) value {
	minutes, seconds, colon := strings.Cut(text, ":")
	m, err := strconv.Atoi(minutes)
	s, bad := strconv.Atoi(seconds)
	if !colon || err != nil || bad != nil || len(seconds) != 2 || m < 0 || s < 0 || s > 59 || fmt.Sprintf("%d:%02d", m, s) != text {
		return plain(text)
	}
	return value{number: float64(m*60+s) / secondsOfDay, isOne: true, shown: asTime}
}

// value tells what a cell of a fact holds.
func (f *book) value(one rows.Fact, c rows.Column) value {
	text := one.Get(c)
	switch {
	case slices.Contains(counts, c) || slices.Contains(sweaters, c):
		return whole(text)
	case slices.Contains(times, c):
		return played(text)
	case c != rows.Text:
		return plain(text)
	case one.Get(rows.Record) == "total":
		if v := whole(text); v.isOne {
			return v
		}
		return played(text)
	case one.Get(rows.Record) == "head":
		return f.head(one.Get(rows.Key), text)
	default:
		return plain(text)
	}
}

// head tells what a line about the game holds.
func (f *book) head(key, text string) value {
	switch key {
	case "home_score", "visitors_score", "started_ms", "finished_ms":
		return whole(text)
	case "date":
		if day, err := time.Parse(time.DateOnly, text); err == nil && day.Year() >= 1900 && day.Year() < 3000 {
			return value{number: day.Sub(firstDay).Hours() / 24, isOne: true, shown: asDate}
		}
	case "started", "finished":
		ms, err := strconv.ParseInt(text, 10, 64)
		if err == nil && ms > 0 && ms < 1e14 {
			_, offset := time.UnixMilli(ms).In(f.zone).Zone()
			local := time.UnixMilli(ms).UTC().Add(time.Duration(offset) * time.Second)
			return value{number: local.Sub(firstDay).Hours() / 24, isOne: true, shown: asInstant}
		}
	}
	return plain(text)
}

// withInstants adds the real start and finish as people read them to the
// milliseconds that programs read.
func withInstants(list []rows.Fact) []rows.Fact {
	out := make([]rows.Fact, 0, len(list)+2)
	for _, one := range list {
		out = append(out, one)
		if key, is := strings.CutSuffix(one.Get(rows.Key), "_ms"); is {
			out = append(out, one.With(rows.Key, key))
		}
	}
	return out
}

// set writes one cell. A text never becomes a formula here, whatever it begins
// with.
func (f *book) set(sheet string, column, row int, v value) error {
	if v.text == "" && !v.isOne {
		return nil
	}
	cell, err := excelize.CoordinatesToCellName(column+1, row+1)
	if err != nil {
		return err
	}
	if !v.isOne {
		return f.SetCellStr(sheet, cell, v.text)
	}
	if err := f.SetCellFloat(sheet, cell, v.number, -1, 64); err != nil || v.shown == "" {
		return err
	}
	return f.SetCellStyle(sheet, cell, cell, f.styles[v.shown])
}
