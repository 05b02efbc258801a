package intake

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"iter"
	"path/filepath"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
	"whistlestop/internal/paper/csv"
	"whistlestop/internal/paper/tables"
	"whistlestop/internal/paper/xlsx"
	"whistlestop/record/audit"
	"whistlestop/record/report"
	"whistlestop/record/rows"
	"whistlestop/record/typed"
)

// Holding is what the record of a game is held against.
type Holding struct {
	Division string               // an id, or whatever else Find knows; empty: the record says it
	Times    rulebook.ReportTimes // TimesUnsaid: as the division writes them
	Known    []string             // ids to be named where nobody says which
	Find     func(division string) (rulebook.Division, error)
	// Languages are those in which a workbook may have been written, the likeliest first:
	// its sheets and columns have names of one.
	Languages iter.Seq[xlsx.Words]
}

// Record is the record of a game from a file, ready to be audited.
type Record struct {
	Sheet audit.Sheet
	Game  string // its number; empty: the file has none
}

const (
	workbook = "PK"           // how a packed file begins
	mark     = "\xef\xbb\xbf" // of a text in UTF-8
)

// ReadRecord reads the record of a game in any form: the ledger that a bench exports, a
// report of ours as JSON, workbook or CSV, or a paper sheet that was typed into a table.
// An error names the file, and the row and column where it is one of them.
func ReadRecord(file string, text []byte, h Holding) (Record, error) {
	r := recordReader{Holding: h, file: file}
	plain := bytes.TrimPrefix(text, []byte(mark))
	switch {
	case bytes.HasPrefix(text, []byte(workbook)):
		return r.workbook(text)
	case bytes.HasPrefix(bytes.TrimLeft(plain, " \r\n\t"), []byte("{")):
		return r.json(text)
	case bytes.HasPrefix(plain, []byte(rows.Record+",")), bytes.HasPrefix(plain, []byte(rows.Record+";")):
		list, err := csv.Read(bytes.NewReader(text))
		if err != nil {
			return Record{}, r.unreadable(err)
		}
		return r.facts(list, func(i int) int { return i + 2 })
	default:
		return r.typed(text)
	}
}

type recordReader struct {
	Holding
	file string
}

func (r recordReader) unreadable(why error) error {
	return message.Because(why, "command.unreadable", "file", r.file)
}

// json reads a report, or the ledger that a bench exports.
func (r recordReader) json(text []byte) (Record, error) {
	var first struct {
		Specversion string `json:"specversion"`
	}
	if err := json.Unmarshal(text, &first); err == nil && first.Specversion == "" { // one document, and no entry
		d, err := report.Read(text)
		if errors.Is(err, report.ErrForm) {
			return Record{}, message.New("command.check.no_report", "file", r.file)
		}
		if err != nil {
			return Record{}, r.unreadable(err)
		}
		if r.Times != rulebook.TimesUnsaid {
			d.Times = r.Times
		}
		return Record{audit.SheetOf(d), d.Head.Number}, nil
	}
	ledger, err := entry.ReadLedger(text)
	if err == nil && len(ledger) == 0 {
		err = rules.ErrNotOpened
	}
	if err != nil {
		return Record{}, r.unreadable(err)
	}
	d, err := report.Build(ledger, report.Options{Times: r.Times})
	if err != nil {
		return Record{}, r.unreadable(err)
	}
	return Record{audit.SheetOf(d), d.Head.Number}, nil
}

// workbook reads one that we wrote, or one with a typed sheet.
func (r recordReader) workbook(raw []byte) (Record, error) {
	list, err := r.report(raw)
	if err != nil {
		return Record{}, r.unreadable(err)
	}
	if len(list) > 0 {
		records := map[string]int{}
		lines := make([]int, len(list))
		for i, f := range list { // each kind of record has a sheet of its own
			records[f.Get(rows.Record)]++
			lines[i] = records[f.Get(rows.Record)] + 1
		}
		return r.facts(list, func(i int) int { return lines[i] })
	}
	table, err := xlsx.Rows(raw)
	if err != nil {
		return Record{}, r.unreadable(err)
	}
	var text bytes.Buffer
	if err := tables.CSV.Write(&text, table); err != nil {
		return Record{}, r.unreadable(err)
	}
	return r.typed(text.Bytes())
}

// report reads a workbook that we wrote, in whatever language; nothing where it is none.
func (r recordReader) report(raw []byte) (list []rows.Fact, first error) {
	likeliest := true
	for words := range r.Languages {
		list, err := xlsx.Read(raw, words)
		if len(list) > 0 {
			return list, nil
		}
		if likeliest {
			first, likeliest = err, false
		}
	}
	return nil, first
}

// facts reads the rows of a report of ours.
func (r recordReader) facts(list []rows.Fact, row func(int) int) (Record, error) {
	division, err := r.find(cmp.Or(r.Division, rows.DivisionID(list)))
	if err != nil {
		return Record{}, err
	}
	s, err := rows.Sheet(list, division, r.Times, row)
	return Record{Sheet: s}, r.placed(err)
}

// typed reads a sheet that was typed into a table.
func (r recordReader) typed(text []byte) (Record, error) {
	if len(text) > typed.MostBytes {
		return Record{}, message.New("command.check.too_big", "most", typed.MostBytes>>20)
	}
	division, err := r.find(r.Division)
	if err != nil {
		return Record{}, err
	}
	s, err := typed.Read(text, typed.Options{Division: division, Times: r.Times})
	return Record{Sheet: s}, r.placed(err)
}

func (r recordReader) find(name string) (rulebook.Division, error) {
	if name == "" {
		return rulebook.Division{}, message.New("command.check.no_division", "file", r.file, "divisions", strings.Join(r.Known, ", "))
	}
	return r.Find(name)
}

// placed says where in the file something cannot be read.
func (r recordReader) placed(err error) error {
	var bad *typed.Fault
	if !errors.As(err, &bad) {
		return err
	}
	where := "command.check.file"
	switch {
	case bad.Column != "":
		where = "command.check.cell"
	case bad.Row > 0:
		where = "command.check.row"
	}
	return message.Because(&message.Error{Say: bad.Say}, where, "file", filepath.Base(r.file), "row", bad.Row, "column", bad.Column)
}
