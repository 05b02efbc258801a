package xlsx

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"

	"whistlestop/game/rules"
)

// Limits of a workbook. A roster has some forty rows and ten columns, a report
// some hundred rows; beyond these numbers a file is something else, or was made
// to fill the memory.
const (
	readMost    = 10 << 20 // bytes of the file
	partsMost   = 500      // files in it
	unpackMost  = 20 << 20 // bytes of all of them
	ratioMost   = 100      // bytes of them for each byte of the file ...
	ratioBelow  = 1 << 20  // ... which may be exceeded up to so many bytes
	rowsMost    = 1000
	columnsMost = 200
)

// Refused is why a workbook was not read, in words for people by their key.
type Refused struct{ Say rules.Say }

// Error returns the key of the message.
func (r *Refused) Error() string { return r.Say.Key }

func refuse(key string, pairs ...string) error {
	return &Refused{Say: rules.Say{Key: key, Args: rules.Pairs(pairs...)}}
}

// old begins a workbook of the format before XLSX, and also an encrypted one.
var old = []byte{0xd0, 0xcf, 0x11, 0xe0}

// check holds a workbook against the limits. It reads every part once, without
// keeping it, and believes no size that the file states.
func check(raw []byte) error {
	if len(raw) > readMost {
		return refuse("xlsx.too_large", "most", strconv.Itoa(readMost>>20))
	}
	if bytes.HasPrefix(raw, old) {
		return refuse("xlsx.old")
	}
	archive, err := zip.NewReader(bytes.NewReader(raw), int64(len(raw)))
	if err != nil {
		return refuse("xlsx.unreadable")
	}
	if len(archive.File) > partsMost {
		return refuse("xlsx.too_many_parts", "most", strconv.Itoa(partsMost))
	}
	left := int64(unpackMost)
	if by := int64(len(raw)) * ratioMost; by < left {
		left = max(by, ratioBelow)
	}
	budget := left
	for _, part := range archive.File {
		in, err := part.Open()
		if err != nil {
			return refuse("xlsx.unreadable")
		}
		counted := &io.LimitedReader{R: in, N: left + 1}
		err = checkPart(counted)
		if err == nil {
			_, err = io.Copy(io.Discard, counted)
		}
		if counted.N <= 0 {
			err = refuse("xlsx.bomb", "most", strconv.Itoa(int(budget>>20)))
		}
		if closing := in.Close(); err == nil {
			err = closing
		}
		if err != nil {
			var words *Refused
			if errors.As(err, &words) {
				return err
			}
			return refuse("xlsx.unreadable")
		}
		left = counted.N - 1
	}
	return nil
}

// checkPart counts the rows and columns of a part that is a sheet. Other parts
// are left as they are.
func checkPart(in io.Reader) error {
	decoder := xml.NewDecoder(in)
	root := true
	for {
		token, err := decoder.RawToken()
		if errors.Is(err, io.EOF) || root && err != nil { // a picture is no XML
			return nil
		}
		if err != nil {
			return err
		}
		element, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		if root && element.Name.Local != "worksheet" {
			return nil
		}
		root = false
		if element.Name.Local != "row" && element.Name.Local != "c" && element.Name.Local != "col" {
			continue
		}
		for _, attribute := range element.Attr {
			if attribute.Name.Local == "r" && beyond(attribute.Value) {
				return refuse("xlsx.too_wide", "rows", strconv.Itoa(rowsMost), "columns", strconv.Itoa(columnsMost))
			}
		}
	}
}

// beyond reports whether the name of a cell or the number of a row, such as AB12
// or 12, lies outside the limits.
func beyond(name string) bool {
	letters := strings.TrimRight(name, "0123456789")
	column := 0
	for _, r := range strings.ToUpper(letters) {
		if r < 'A' || r > 'Z' || column > columnsMost {
			return true
		}
		column = column*26 + int(r-'A') + 1
	}
	row, err := strconv.Atoi(name[len(letters):])
	return err != nil || row > rowsMost || column > columnsMost
}

// open opens a workbook that was checked.
func open(raw []byte) (*excelize.File, error) {
	f, err := excelize.OpenReader(bytes.NewReader(raw), excelize.Options{UnzipSizeLimit: unpackMost, UnzipXMLSizeLimit: unpackMost})
	if err != nil {
		return nil, refuse("xlsx.unreadable")
	}
	return f, nil
}

// Rows returns the cells of the first sheet that has any, as they look on the
// screen. Formulas are refused: what they come to depends on who opens the file.
func Rows(raw []byte) (rows [][]string, err error) {
	if err := check(raw); err != nil {
		return nil, err
	}
	f, err := open(raw)
	if err != nil {
		return nil, err
	}
	defer func() {
		if recover() != nil { // a file that the library does not expect
			rows, err = nil, refuse("xlsx.unreadable")
		}
		if closing := f.Close(); err == nil {
			err = closing
		}
	}()
	for _, name := range f.GetSheetList() {
		rows, err := f.GetRows(name)
		if err != nil {
			return nil, refuse("xlsx.unreadable")
		}
		if len(rows) == 0 {
			continue
		}
		if len(rows) > rowsMost {
			return nil, refuse("xlsx.too_wide", "rows", strconv.Itoa(rowsMost), "columns", strconv.Itoa(columnsMost))
		}
		return rows, formulas(f, name, rows)
	}
	return nil, refuse("xlsx.empty")
}

// formulas refuses a sheet with a formula and names its cell. An empty result of
// one counts too, so every cell up to the end of the widest row is looked at.
func formulas(f *excelize.File, name string, rows [][]string) error {
	widest := 0
	for _, row := range rows {
		widest = max(widest, len(row))
	}
	if widest > columnsMost {
		return refuse("xlsx.too_wide", "rows", strconv.Itoa(rowsMost), "columns", strconv.Itoa(columnsMost))
	}
	for row := range rows {
		for column := range widest {
			cell, err := excelize.CoordinatesToCellName(column+1, row+1)
			if err != nil {
				return refuse("xlsx.unreadable")
			}
			if formula, err := f.GetCellFormula(name, cell); err != nil {
				return refuse("xlsx.unreadable")
			} else if formula != "" {
				return refuse("xlsx.formula", "cell", cell)
			}
		}
	}
	return nil
}
