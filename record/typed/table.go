package typed

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// The most that is read. A sheet of a game has some dozens of rows.
const (
	MostBytes   = 1 << 20
	mostColumns = 60
	mostRows    = 1_000
	mostCell    = 500 // bytes
)

// column is a heading that is understood.
type column string

// The columns of the table. Each row uses some of them.
const (
	colWhat       column = "what"
	colPeriod     column = "period"
	colTime       column = "time"
	colTeam       column = "team"
	colNumber     column = "number"
	colAssist1    column = "assist 1"
	colAssist2    column = "assist 2"
	colAssist3    column = "assist 3"
	colClass      column = "class"
	colGoalkeeper column = "goalkeeper"
	colScore      column = "score"
	colPenalty    column = "penalty"
	colMinutes    column = "minutes"
	colCall       column = "call"
	colServed     column = "served by"
	colStart      column = "start"
	colOn         column = "on"
	colSignalled  column = "signalled"
	colWiped      column = "wiped out"
	colTotal      column = "total"
	colCount      column = "count"
	colName       column = "name"
	colPosition   column = "position"
	colLetter     column = "letter"
	colStatus     column = "status"
	colShots      column = "shots"
	colAgainst    column = "goals against"
	colSaves      column = "saves"
	colScored     column = "scored"
	colRemark     column = "remark"
)

// columns lists every column, and other ways to write its heading. Case, spaces
// and marks do not count.
var columns = []struct {
	name   column
	others []string
}{
	{colWhat, []string{"event", "row", "line", "kind"}},
	{colPeriod, []string{"per", "p"}},
	{colTime, []string{"clock", "off"}},
	{colTeam, []string{"side"}},
	{colNumber, []string{"no", "player", "scorer", "jersey", "sweater"}},
	{colAssist1, []string{"assist", "a1", "first assist", "assists"}},
	{colAssist2, []string{"a2", "second assist"}},
	{colAssist3, []string{"a3", "third assist"}},
	{colClass, []string{"type", "strength"}},
	{colGoalkeeper, []string{"goalie", "in net"}},
	{colScore, []string{"score after"}},
	{colPenalty, []string{"severity"}},
	{colMinutes, []string{"min", "mins"}},
	{colCall, []string{"infraction", "offence", "offense", "foul", "reason"}},
	{colServed, []string{"served"}},
	{colStart, []string{"start time"}},
	{colOn, []string{"end", "back", "on ice", "return"}},
	{colSignalled, []string{"delayed", "arm up"}},
	{colWiped, []string{"wiped"}},
	{colTotal, nil},
	{colCount, []string{"value"}},
	{colName, nil},
	{colPosition, []string{"pos"}},
	{colLetter, []string{"captain", "c/a"}},
	{colStatus, nil},
	{colShots, []string{"shots against", "sog"}},
	{colAgainst, []string{"ga"}},
	{colSaves, nil},
	{colScored, []string{"result"}},
	{colRemark, []string{"remarks", "note", "notes"}},
}

// plain is a heading or a word without case, spaces and marks.
func plain(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, text)
}

// row is a row of the table by columns.
type row struct {
	number int
	cells  map[column]string
}

func (r row) get(c column) string { return r.cells[c] }

// table is the whole file.
type table struct {
	rows []row
	has  map[column]bool
}

// readTable reads the rows of a file.
func readTable(text []byte) (*table, error) {
	if len(text) > MostBytes {
		return nil, fault(0, "", "sheet.too_big", "most", strconv.Itoa(MostBytes>>20))
	}
	text = bytes.TrimPrefix(text, []byte("\xef\xbb\xbf"))
	if bytes.IndexByte(text, 0) >= 0 {
		return nil, fault(0, "", "sheet.not_text")
	}
	if !utf8.Valid(text) {
		text = latin(text)
	}
	in := csv.NewReader(bytes.NewReader(text))
	in.Comma, in.FieldsPerRecord, in.ReuseRecord = separator(text), -1, true
	in.TrimLeadingSpace = in.Comma != '\t' // a tab is a space as well
	t := &table{has: map[column]bool{}}
	var heads []column
	for {
		record, err := in.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		var bad *csv.ParseError
		if errors.As(err, &bad) {
			return nil, fault(bad.StartLine, "", "sheet.quotes")
		}
		if err != nil {
			return nil, err
		}
		number, _ := in.FieldPos(0)
		if len(record) > mostColumns {
			return nil, fault(number, "", "sheet.columns_many", "count", strconv.Itoa(len(record)), "most", strconv.Itoa(mostColumns))
		}
		if blank(record) {
			continue
		}
		if heads == nil {
			if heads, err = headings(record, number); err != nil {
				return nil, err
			}
			for _, head := range heads {
				t.has[head] = true
			}
			continue
		}
		if len(t.rows) == mostRows {
			return nil, fault(number, "", "sheet.rows_many", "most", strconv.Itoa(mostRows))
		}
		one, err := cells(record, heads, number)
		if err != nil {
			return nil, err
		}
		t.rows = append(t.rows, one)
	}
	if len(t.rows) == 0 {
		return nil, fault(0, "", "sheet.empty")
	}
	return t, nil
}

// latin reads bytes that are not UTF-8 as Latin-1, as older programs write it.
func latin(text []byte) []byte {
	out := make([]byte, 0, len(text)+len(text)/8)
	for _, b := range text {
		out = utf8.AppendRune(out, rune(b))
	}
	return out
}

// separator is what stands between the cells: whichever of comma, semicolon and
// tab the first line has most.
func separator(text []byte) rune {
	first, _, _ := bytes.Cut(bytes.TrimLeft(text, "\r\n"), []byte("\n"))
	best, most := ',', 0
	for _, r := range []rune{',', ';', '\t'} {
		if n := bytes.Count(first, []byte(string(r))); n > most {
			best, most = r, n
		}
	}
	return best
}

func blank(record []string) bool {
	return !slices.ContainsFunc(record, func(c string) bool { return strings.TrimSpace(c) != "" })
}

// headings reads the first row. A column without a heading is left out.
func headings(record []string, number int) ([]column, error) {
	heads := make([]column, len(record))
	for i, text := range record {
		name := plain(text)
		if name == "" {
			continue
		}
		for _, c := range columns {
			if name == plain(string(c.name)) || slices.ContainsFunc(c.others, func(o string) bool { return plain(o) == name }) {
				heads[i] = c.name
			}
		}
		if heads[i] == "" {
			return nil, fault(number, short(text), "sheet.column_unknown", "columns", columnNames())
		}
		if slices.Index(heads, heads[i]) < i {
			return nil, fault(number, short(text), "sheet.column_twice")
		}
	}
	if !slices.Contains(heads, colWhat) {
		return nil, fault(number, "", "sheet.no_what", "kinds", kindNames())
	}
	return heads, nil
}

func columnNames() string {
	names := make([]string, len(columns))
	for i, c := range columns {
		names[i] = string(c.name)
	}
	return strings.Join(names, ", ")
}

// short keeps a strange text from filling a message.
func short(text string) string {
	if r := []rune(text); len(r) > 30 {
		return string(r[:30]) + "…"
	}
	return text
}

// cells sorts a record into its columns. A cell that a spreadsheet would work
// out as a formula is refused.
func cells(record []string, heads []column, number int) (row, error) {
	one := row{number: number, cells: make(map[column]string, len(heads))}
	for i, text := range record {
		text = strings.TrimSpace(text)
		if text == "" {
			continue
		}
		if i >= len(heads) {
			return row{}, fault(number, strconv.Itoa(i+1), "sheet.no_heading", "text", short(text))
		}
		if heads[i] == "" || heads[i] == colRemark {
			continue
		}
		if len(text) > mostCell {
			return row{}, fault(number, string(heads[i]), "sheet.cell_long", "most", strconv.Itoa(mostCell))
		}
		if text == "-" || text == "–" || text == "—" {
			continue // nothing, as people write it
		}
		if strings.ContainsAny(text[:1], "=+@-") {
			return row{}, fault(number, string(heads[i]), "sheet.formula", "text", short(text))
		}
		one.cells[heads[i]] = text
	}
	return one, nil
}
