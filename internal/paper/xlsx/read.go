package xlsx

import (
	"archive/zip"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"path"
	"slices"
	"strconv"
	"strings"
	"time"

	"whistlestop/game/message"
	"whistlestop/record/rows"
)

// workbook is a file that is being read. There is one reader with one set of
// limits: nothing is looked at by one way of reading and then believed by
// another.
type workbook struct {
	parts  map[string]*zip.File
	sheets []sheetPart
	texts  []string // that cells share
	zeros  []int    // by cell format: how many digits a number has at least
	codes  []string // by cell format: how Write writes times and dates, or nothing
}

// sheetPart is a sheet by its name and its part.
type sheetPart struct{ name, part string }

// Rows returns the cells of the first sheet that has any, as they look on the
// screen. Formulas are refused: what they come to depends on who opens the file.
func Rows(raw []byte) ([][]string, error) {
	w, err := open(raw)
	if err != nil {
		return nil, err
	}
	for _, one := range w.sheets {
		list, err := w.rows(one.part)
		if err != nil || len(list) > 0 {
			return list, err
		}
	}
	return nil, refuse("xlsx.empty")
}

// open reads what the sheets of a workbook have in common.
func open(raw []byte) (*workbook, error) {
	parts, err := unpack(raw)
	if err != nil {
		return nil, err
	}
	w := &workbook{parts: parts}
	book := "xl/workbook.xml"
	links, err := w.links("")
	if err != nil {
		return nil, err
	}
	for _, link := range links {
		if link.kind == "officeDocument" {
			book = link.part
		}
	}
	if links, err = w.links(book); err != nil {
		return nil, err
	}
	for _, link := range links {
		switch link.kind {
		case "sharedStrings":
			err = w.readTexts(link.part)
		case "styles":
			err = w.readFormats(link.part)
		}
		if err != nil {
			return nil, err
		}
	}
	return w, w.readSheets(book, links)
}

// each hands every token of a part to visit, up to the limit of a part. What is
// not well-formed XML in UTF-8, or declares entities, is refused.
func (w *workbook) each(name string, visit func(xml.Token) error) error {
	part := w.parts[name]
	if part == nil {
		return refuse("xlsx.unreadable")
	}
	in, err := part.Open()
	if err != nil {
		return refuse("xlsx.unreadable")
	}
	limited := &io.LimitedReader{R: in, N: partMost + 1}
	decoder := xml.NewDecoder(&shaped{in: limited})
	for err == nil {
		var token xml.Token
		if token, err = decoder.Token(); err != nil {
			break
		}
		if _, declares := token.(xml.Directive); declares {
			err = refuse("xlsx.unreadable")
			break
		}
		err = visit(token)
	}
	closing := in.Close()
	var words *Refused
	switch {
	case limited.N <= 0:
		return refuse("xlsx.bomb", "most", strconv.Itoa(partMost>>20))
	case errors.As(err, &words):
		return err
	case !errors.Is(err, io.EOF) || closing != nil:
		return refuse("xlsx.unreadable")
	}
	return nil
}

func attribute(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

// link is what one part says about another.
type link struct{ id, kind, part string }

// links reads which parts belong to a part, or to the archive itself.
func (w *workbook) links(of string) (list []link, err error) {
	name := path.Join(path.Dir(of), "_rels", path.Base(of)+".rels")
	if of == "" {
		name = "_rels/.rels"
	}
	if w.parts[name] == nil {
		return nil, nil
	}
	err = w.each(name, func(token xml.Token) error {
		if e, ok := token.(xml.StartElement); ok && e.Name.Local == "Relationship" && attribute(e, "TargetMode") != "External" {
			list = append(list, link{
				id: attribute(e, "Id"), kind: path.Base(attribute(e, "Type")),
				part: inside(path.Dir(of), attribute(e, "Target")),
			})
		}
		if len(list) > partsMost {
			return refuse("xlsx.unreadable")
		}
		return nil
	})
	return list, err
}

func (w *workbook) readSheets(book string, links []link) error {
	return w.each(book, func(token xml.Token) error {
		e, ok := token.(xml.StartElement)
		if !ok || e.Name.Local != "sheet" {
			return nil
		}
		at := slices.IndexFunc(links, func(l link) bool { return l.id == attribute(e, "id") && l.kind == "worksheet" })
		if at < 0 {
			return nil // a chart
		}
		if len(w.sheets) >= partsMost {
			return refuse("xlsx.unreadable")
		}
		w.sheets = append(w.sheets, sheetPart{attribute(e, "name"), links[at].part})
		return nil
	})
}

// readTexts reads the texts that cells share, without the marks of their letters
// and without readings beside them.
func (w *workbook) readTexts(part string) error {
	var text strings.Builder
	inText, beside := false, false
	return w.each(part, func(token xml.Token) error {
		switch t := token.(type) {
		case xml.StartElement:
			inText = t.Name.Local == "t"
			beside = beside || t.Name.Local == "rPh"
		case xml.CharData:
			if inText && !beside {
				text.Write(t)
			}
		case xml.EndElement:
			inText = false
			switch t.Name.Local {
			case "rPh":
				beside = false
			case "si":
				if len(w.texts) == sharedMost {
					return refuse("xlsx.unreadable")
				}
				w.texts = append(w.texts, text.String())
				text.Reset()
			}
		}
		return nil
	})
}

// readFormats reads which cell formats write a number with leading zeros, as
// rosters write 07.
func (w *workbook) readFormats(part string) error {
	zeros, codes, inCells := map[string]int{}, map[string]string{}, false
	return w.each(part, func(token xml.Token) error {
		switch e := token.(type) {
		case xml.StartElement:
			switch {
			case e.Name.Local == "numFmt":
				if code := attribute(e, "formatCode"); code != "" && len(code) < 10 && strings.Trim(code, "0") == "" {
					zeros[attribute(e, "numFmtId")] = len(code)
				} else if code == asTime || code == asDate {
					codes[attribute(e, "numFmtId")] = code
				}
			case e.Name.Local == "cellXfs":
				inCells = true
			case e.Name.Local == "xf" && inCells:
				if len(w.zeros) >= formatsMost {
					return refuse("xlsx.unreadable")
				}
				w.zeros = append(w.zeros, zeros[attribute(e, "numFmtId")])
				w.codes = append(w.codes, codes[attribute(e, "numFmtId")])
			}
		case xml.EndElement:
			inCells = inCells && e.Name.Local != "cellXfs"
		}
		return nil
	})
}

// sheetReader is a sheet that is being read.
type sheetReader struct {
	book        *workbook
	list        [][]string
	row, column int // of the cell that is being read, from 1
	inCells     bool
	inText      bool
	kind, style string
	text        strings.Builder
	left        int // bytes of text that may follow
}

// rows returns the cells of a sheet, without empty rows at its end.
func (w *workbook) rows(part string) ([][]string, error) {
	s := &sheetReader{book: w, left: textsMost}
	err := w.each(part, func(token xml.Token) error {
		switch t := token.(type) {
		case xml.StartElement:
			return s.start(t)
		case xml.CharData:
			if s.inText {
				s.text.Write(t)
			}
		case xml.EndElement:
			s.inText = false
			switch t.Name.Local {
			case "sheetData":
				s.inCells = false
			case "c":
				if s.inCells {
					return s.end()
				}
			}
		}
		return nil
	})
	return s.list, err
}

func (s *sheetReader) start(e xml.StartElement) error {
	if e.Name.Local == "sheetData" {
		s.inCells = true
	}
	if !s.inCells {
		return nil
	}
	switch e.Name.Local {
	case "row":
		s.row, s.column = s.row+1, 0
		if text := attribute(e, "r"); text != "" {
			n, err := strconv.Atoi(text)
			if err != nil || n < 1 {
				return refuse("xlsx.unreadable")
			}
			s.row = n
		}
	case "c":
		s.column++
		if name := attribute(e, "r"); name != "" {
			row, column, ok := cell(name)
			if !ok || row != s.row && row <= rowsMost {
				return tooWideOr(ok, row)
			}
			s.row, s.column = row, column
		}
		s.kind, s.style = attribute(e, "t"), attribute(e, "s")
		s.text.Reset()
	case "f":
		return refuse("xlsx.formula", "cell", cellName(s.row, s.column))
	}
	if s.row > rowsMost || s.column > columnsMost {
		return tooWide()
	}
	s.inText = e.Name.Local == "v" || e.Name.Local == "t"
	return nil
}

// tooWideOr says that a cell is out of the limits, or that its name is none.
func tooWideOr(named bool, row int) error {
	if named && row > rowsMost {
		return tooWide()
	}
	return refuse("xlsx.unreadable")
}

// end takes a cell over.
func (s *sheetReader) end() error {
	value, err := s.book.shown(s.text.String(), s.kind, s.style)
	if err != nil || value == "" {
		return err
	}
	if s.left -= len(value); s.left < 0 || s.row < 1 {
		return refuse("xlsx.bomb", "most", strconv.Itoa(textsMost>>20))
	}
	for len(s.list) < s.row {
		s.list = append(s.list, nil)
	}
	row := s.list[s.row-1]
	for len(row) < s.column {
		row = append(row, "")
	}
	row[s.column-1] = value
	s.list[s.row-1] = row
	return nil
}

// shown is a value as it looks on the screen.
func (w *workbook) shown(text, kind, style string) (string, error) {
	switch kind {
	case "s":
		n, err := strconv.Atoi(text)
		if err != nil || n < 0 || n >= len(w.texts) {
			return "", refuse("xlsx.unreadable")
		}
		return w.texts[n], nil
	case "b":
		if text == "1" {
			return "TRUE", nil
		}
		return "FALSE", nil
	case "", "n":
		return w.number(text, style), nil
	default:
		return text, nil
	}
}

// number writes a number as a spreadsheet does: a whole one without a point, and
// with the leading zeros of its format.
func (w *workbook) number(text, style string) string {
	f, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsInf(f, 0) || math.IsNaN(f) {
		return text
	}
	if n, err := strconv.Atoi(style); err == nil && n >= 0 && n < len(w.codes) && f >= 0 && f < daysMost {
		switch w.codes[n] {
		case asTime:
			seconds := int(math.Round(f * secondsOfDay))
			return fmt.Sprintf("%d:%02d", seconds/60, seconds%60)
		case asDate:
			return firstDay.AddDate(0, 0, int(f)).Format(time.DateOnly)
		}
	}
	if f != math.Trunc(f) || math.Abs(f) >= 1e15 {
		if f, err = strconv.ParseFloat(strconv.FormatFloat(f, 'g', 15, 64), 64); err != nil {
			return text
		}
		return strconv.FormatFloat(f, 'G', -1, 64)
	}
	digits := strconv.FormatFloat(f, 'f', 0, 64)
	if n, err := strconv.Atoi(style); err == nil && n >= 0 && n < len(w.zeros) && f >= 0 {
		digits = strings.Repeat("0", max(0, w.zeros[n]-len(digits))) + digits
	}
	return digits
}

// Read reads what Write wrote.
func Read(raw []byte, words Words) ([]rows.Fact, error) {
	w, err := open(raw)
	if err != nil {
		return nil, err
	}
	var list []rows.Fact
	for _, record := range rows.Records {
		name := words.Text("fact.record."+record, nil)
		at := slices.IndexFunc(w.sheets, func(one sheetPart) bool { return one.name == name })
		if at < 0 {
			continue // a report without such records has no such sheet
		}
		lines, err := w.rows(w.sheets[at].part)
		if err != nil || len(lines) == 0 {
			return nil, err
		}
		names := []string{string(rows.Record)}
		for _, title := range lines[0] {
			at := slices.IndexFunc(rows.Columns, func(c rows.Column) bool {
				return words.Text("fact.column."+string(c), nil) == title
			})
			if at < 0 {
				return nil, message.New("xlsx.no_column", "column", message.Plain(title))
			}
			names = append(names, string(rows.Columns[at]))
		}
		for i, row := range lines[1:] {
			lines[i+1] = append([]string{record}, row...)
		}
		some, err := rows.Read(names, lines[1:])
		if err != nil {
			return nil, err
		}
		list = append(list, slices.DeleteFunc(some, func(one rows.Fact) bool {
			return record == "head" && (one.Get(rows.Key) == "started" || one.Get(rows.Key) == "finished") // said in milliseconds too
		})...)
	}
	return list, nil
}

// Table is a sheet of a workbook.
type Table struct {
	Name string
	Rows [][]string
}

// Tables returns the cells of every sheet that has any, as they look on the
// screen.
func Tables(raw []byte) ([]Table, error) {
	w, err := open(raw)
	if err != nil {
		return nil, err
	}
	var list []Table
	for _, one := range w.sheets[:min(len(w.sheets), sheetsMost)] {
		lines, err := w.rows(one.part)
		if err != nil {
			return nil, err
		}
		if len(lines) > 0 {
			list = append(list, Table{one.name, lines})
		}
	}
	if len(list) == 0 {
		return nil, refuse("xlsx.empty")
	}
	return list, nil
}

// sheetsMost is how many sheets of a workbook are looked at.
const sheetsMost = 20
