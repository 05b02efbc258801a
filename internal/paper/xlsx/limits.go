package xlsx

import (
	"archive/zip"
	"bytes"
	"io"
	"path"
	"strconv"
	"strings"

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
	partMost    = 8 << 20  // bytes of a part whose content is read
	rowsMost    = 1000
	columnsMost = 200
	textsMost   = 4 << 20 // bytes of all cells of a sheet; one long text may stand in many
	sharedMost  = 400_000 // shared texts: twice the cells that are read
	formatsMost = 70_000  // cell formats, as spreadsheets allow them
)

// directory begins the description of a part at the end of an archive.
var directory = []byte("PK\x01\x02")

// Refused is why a workbook was not read, in words for people by their key.
type Refused struct{ Say rules.Say }

// Error gives the key of the sentence, for logs.
func (r *Refused) Error() string { return r.Say.String() }

// Message is the sentence.
func (r *Refused) Message() rules.Say { return r.Say }

func refuse(key string, pairs ...string) error {
	return &Refused{Say: rules.Say{Key: key, Args: rules.Pairs(pairs...)}}
}

// old begins a workbook of the format before XLSX, and also an encrypted one.
var old = []byte{0xd0, 0xcf, 0x11, 0xe0}

// unpack takes a file apart into its parts, by name. Every part is read once,
// without keeping it, and no size that the file states is believed.
func unpack(raw []byte) (map[string]*zip.File, error) {
	if len(raw) > readMost {
		return nil, refuse("xlsx.too_large", "most", strconv.Itoa(readMost>>20))
	}
	if bytes.HasPrefix(raw, old) {
		return nil, refuse("xlsx.old")
	}
	// Before the library makes a list of them, whatever number the file states.
	if bytes.Count(raw, directory) > 2*partsMost {
		return nil, refuse("xlsx.too_many_parts", "most", strconv.Itoa(partsMost))
	}
	archive, err := zip.NewReader(bytes.NewReader(raw), int64(len(raw)))
	if err != nil {
		return nil, refuse("xlsx.unreadable")
	}
	if len(archive.File) > partsMost {
		return nil, refuse("xlsx.too_many_parts", "most", strconv.Itoa(partsMost))
	}
	left := int64(unpackMost)
	if by := int64(len(raw)) * ratioMost; by < left {
		left = max(by, ratioBelow)
	}
	budget := left
	parts := make(map[string]*zip.File, len(archive.File))
	for _, part := range archive.File {
		name := inside("", part.Name)
		if parts[name] != nil { // programs differ in which of the two they read
			return nil, refuse("xlsx.unreadable")
		}
		parts[name] = part
		in, err := part.Open()
		if err != nil {
			return nil, refuse("xlsx.unreadable")
		}
		counted := &io.LimitedReader{R: in, N: left + 1}
		_, err = io.Copy(io.Discard, counted)
		if closing := in.Close(); err == nil {
			err = closing
		}
		if counted.N <= 0 {
			return nil, refuse("xlsx.bomb", "most", strconv.Itoa(int(budget>>20)))
		}
		if err != nil {
			return nil, refuse("xlsx.unreadable")
		}
		left = counted.N - 1
	}
	return parts, nil
}

// inside is the name of a part that another one, or the archive itself, names. It
// never leads out of the archive.
func inside(folder, name string) string {
	if !strings.HasPrefix(name, "/") {
		name = folder + "/" + name
	}
	return strings.TrimPrefix(path.Clean("/"+name), "/")
}

// cell reads the name of a cell, such as AB12: its row and column from 1.
func cell(name string) (row, column int, ok bool) {
	letters := strings.TrimRight(name, "0123456789")
	for _, r := range letters {
		if r < 'A' || r > 'Z' {
			return 0, 0, false
		}
		column = min(column*26+int(r-'A')+1, columnsMost+1)
	}
	row, err := strconv.Atoi(name[len(letters):])
	return row, column, err == nil && row > 0 && column > 0
}

// cellName is the other way round.
func cellName(row, column int) string {
	letters := ""
	for ; column > 0; column = (column - 1) / 26 {
		letters = string(rune('A'+(column-1)%26)) + letters
	}
	return letters + strconv.Itoa(row)
}

func tooWide() error {
	return refuse("xlsx.too_wide", "rows", strconv.Itoa(rowsMost), "columns", strconv.Itoa(columnsMost))
}
