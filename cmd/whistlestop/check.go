package main

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"whistlestop/game/datafile"
	"whistlestop/game/message"
	"whistlestop/game/rulebook"
	"whistlestop/internal/paper/csv"
	"whistlestop/internal/paper/tables"
	"whistlestop/internal/paper/xlsx"
	"whistlestop/record/audit"
	"whistlestop/record/report"
	"whistlestop/record/rows"
	"whistlestop/record/typed"
)

type checkCommand struct {
	File     string `arg:""`
	JSON     bool   `name:"json"`
	Times    string `enum:"elapsed,remaining,as-division" default:"as-division"`
	Division string
}

// status is how the program ends where it is not plain success or failure: a
// check that found something ends with 1, one that could not read its file with
// 2. Nothing is printed where there is no error.
type status struct {
	code int
	err  error
}

func (s *status) Error() string {
	if s.err == nil {
		return ""
	}
	return s.err.Error()
}

func (s *status) Unwrap() error { return s.err }

// How a check ends.
const (
	hasFindings = 1
	unreadable  = 2
)

// checked is what a check prints as JSON.
type checked struct {
	Version  int                    `json:"version"` // of this form, 1
	File     string                 `json:"file"`
	Game     string                 `json:"game,omitempty"`
	Division string                 `json:"division"`
	Code     string                 `json:"code"`
	Times    rulebook.ReportTimes   `json:"times"`
	Clean    bool                   `json:"clean"`
	Counts   map[audit.Severity]int `json:"counts"`
	Findings []checkedFinding       `json:"findings"`
}

// checkedFinding is a finding with its sentences in words.
type checkedFinding struct {
	audit.Finding
	Words findingWords `json:"words"`
}

type findingWords struct {
	What  string `json:"what"`
	Why   string `json:"why"`
	Right string `json:"right"`
}

// check audits the record of a game.
func (p *Program) check(c checkCommand) error {
	s, game, err := p.readSheet(c)
	if err != nil {
		return &status{unreadable, err}
	}
	findings, err := audit.Check(s)
	if err != nil {
		return &status{unreadable, cannotRead(c.File, err)}
	}
	out := checked{
		Version: 1,
		File:    filepath.Base(c.File), Game: game, Division: s.Division.ID, Code: s.Division.Code, Times: s.Times,
		Clean: len(findings) == 0, Counts: map[audit.Severity]int{}, Findings: []checkedFinding{},
	}
	for _, f := range findings {
		out.Counts[f.Severity]++
		out.Findings = append(out.Findings, checkedFinding{f, p.words.wordsOf(f)})
	}
	if c.JSON {
		text, err := json.MarshalIndent(out, "", "  ")
		if err != nil {
			return err
		}
		_, err = p.Out.Write(append(text, '\n'))
		if err != nil {
			return err
		}
	} else if err := p.words.writeFindings(p.Out, out); err != nil {
		return err
	}
	if !out.Clean {
		return &status{code: hasFindings}
	}
	return nil
}

// readSheet reads either form of a record.
func (p *Program) readSheet(c checkCommand) (audit.Sheet, string, error) {
	none := func(err error) (audit.Sheet, string, error) { return audit.Sheet{}, "", err }
	text, err := readBounded(c.File)
	if err != nil {
		return none(cannotRead(c.File, err))
	}
	times := rulebook.ReportTimes(c.Times)
	if c.Times == "as-division" {
		times = rulebook.TimesUnsaid
	}
	switch {
	case bytes.HasPrefix(text, []byte("PK")):
		return p.readWorkbook(c, text, times)
	case bytes.HasPrefix(bytes.TrimLeft(text, " \r\n\t\xef\xbb\xbf"), []byte("{")):
		return readJSON(c, text, times)
	case bytes.HasPrefix(bytes.TrimPrefix(text, []byte("\xef\xbb\xbf")), []byte(rows.Record+",")),
		bytes.HasPrefix(bytes.TrimPrefix(text, []byte("\xef\xbb\xbf")), []byte(rows.Record+";")):
		list, err := csv.Read(bytes.NewReader(text))
		if err != nil {
			return none(cannotRead(c.File, err))
		}
		return readFacts(c, list, times, func(i int) int { return i + 2 })
	default:
		return readTyped(c, text, times)
	}
}

// readJSON reads a report as JSON, or the ledger that a bench exports.
func readJSON(c checkCommand, text []byte, times rulebook.ReportTimes) (audit.Sheet, string, error) {
	none := func(err error) (audit.Sheet, string, error) { return audit.Sheet{}, "", cannotRead(c.File, err) }
	var first struct {
		Specversion string `json:"specversion"`
	}
	if err := json.Unmarshal(text, &first); err == nil && first.Specversion == "" { // one document, and no entry
		d, err := report.Read(text)
		if errors.Is(err, report.ErrForm) {
			return audit.Sheet{}, "", message.New("command.check.no_report", "file", c.File)
		}
		if err != nil {
			return none(err)
		}
		if times != rulebook.TimesUnsaid {
			d.Times = times
		}
		return audit.SheetOf(d), d.Head.Number, nil
	}
	ledger, err := readLedger(bytes.NewReader(text))
	if err != nil {
		return none(err)
	}
	d, err := report.Build(ledger, report.Options{Times: times})
	if err != nil {
		return none(err)
	}
	return audit.SheetOf(d), d.Head.Number, nil
}

// readWorkbook reads a workbook that we wrote, or one with a typed sheet.
func (p *Program) readWorkbook(c checkCommand, raw []byte, times rulebook.ReportTimes) (audit.Sheet, string, error) {
	none := func(err error) (audit.Sheet, string, error) {
		return audit.Sheet{}, "", cannotRead(c.File, err)
	}
	list, err := p.readReport(raw)
	if err != nil {
		return none(err)
	}
	if len(list) > 0 {
		records := map[string]int{}
		lines := make([]int, len(list))
		for i, f := range list { // each kind of record has a sheet of its own
			records[f.Get(rows.Record)]++
			lines[i] = records[f.Get(rows.Record)] + 1
		}
		return readFacts(c, list, times, func(i int) int { return lines[i] })
	}
	table, err := xlsx.Rows(raw)
	if err != nil {
		return none(err)
	}
	var text bytes.Buffer
	if err := tables.CSV.Write(&text, table); err != nil {
		return none(err)
	}
	return readTyped(c, text.Bytes(), times)
}

// readReport reads a workbook that we wrote, in whatever language: its sheets and
// columns have names of one.
func (p *Program) readReport(raw []byte) (list []rows.Fact, first error) {
	own := p.words.in().Language()
	for i, tag := range append([]string{own}, p.spoken().Tags()...) {
		if i > 0 && tag == own {
			continue
		}
		words, _ := p.spoken().Best(tag)
		list, err := xlsx.Read(raw, words)
		if len(list) > 0 {
			return list, nil
		}
		if i == 0 {
			first = err
		}
	}
	return nil, first
}

// readFacts reads the rows of a report of ours.
func readFacts(c checkCommand, list []rows.Fact, times rulebook.ReportTimes, row func(int) int) (audit.Sheet, string, error) {
	name := cmp.Or(c.Division, rows.DivisionID(list))
	if name == "" {
		return audit.Sheet{}, "", noDivision(c)
	}
	division, err := findDivision(name)
	if err != nil {
		return audit.Sheet{}, "", err
	}
	s, err := rows.Sheet(list, division, times, row)
	return s, "", placed(c, err)
}

func noDivision(c checkCommand) error {
	return message.New("command.check.no_division", "file", c.File, "divisions", strings.Join(divisionIDs(), ", "))
}

// placed says where in a file something cannot be read.
func placed(c checkCommand, err error) error {
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
	return message.Because(&message.Error{Say: bad.Say}, where, "file", filepath.Base(c.File), "row", bad.Row, "column", bad.Column)
}

// readTyped reads a sheet that was typed into a table.
func readTyped(c checkCommand, text []byte, times rulebook.ReportTimes) (audit.Sheet, string, error) {
	if len(text) > typed.MostBytes {
		return audit.Sheet{}, "", message.New("command.check.too_big", "most", strconv.Itoa(typed.MostBytes>>20))
	}
	if c.Division == "" {
		return audit.Sheet{}, "", noDivision(c)
	}
	division, err := findDivision(c.Division)
	if err != nil {
		return audit.Sheet{}, "", err
	}
	s, err := typed.Read(text, typed.Options{Division: division, Times: times})
	return s, "", placed(c, err)
}

// readBounded reads a file that is not longer than a sheet or a ledger may be.
func readBounded(file string) (text []byte, err error) {
	from, err := os.Open(file)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, from.Close()) }()
	text, err = io.ReadAll(io.LimitReader(from, ledgerMost+1))
	if err == nil && len(text) > ledgerMost {
		return nil, message.New("command.check.too_big", "most", strconv.Itoa(ledgerMost>>20))
	}
	return text, err
}

func divisionIDs() []string {
	var ids []string
	for _, d := range rulebook.Divisions() {
		ids = append(ids, d.ID)
	}
	return ids
}

// findDivision finds a division by its id, or reads a file of the user's own.
func findDivision(name string) (rulebook.Division, error) {
	for _, d := range rulebook.Divisions() {
		if d.ID == name {
			return d, nil
		}
	}
	text, err := readAtMost(name, datafile.Most)
	if errors.Is(err, fs.ErrNotExist) {
		return rulebook.Division{}, message.New("command.no_division", "division", name, "divisions", strings.Join(divisionIDs(), ", "))
	}
	if err != nil {
		return rulebook.Division{}, cannotRead(name, err)
	}
	d, err := rulebook.ParseDivision(text, filepath.Base(name))
	if err != nil {
		return rulebook.Division{}, message.Because(err, "command.bad_division")
	}
	return d, nil
}

// wordsOf is a finding in words.
func (w words) wordsOf(f audit.Finding) findingWords {
	why := w.sentence(f.Why.Say)
	if code, known := rulebook.CodeByID(f.Why.Code); known && f.Why.Rule != "" {
		why = w.say("command.check.rule", "why", why, "book", code.Name, "rule", f.Why.Rule)
	}
	return findingWords{What: w.sentence(f.What), Why: why, Right: w.sentence(f.Right)}
}

// writeFindings writes the findings for people.
func (w words) writeFindings(to io.Writer, c checked) error {
	var out strings.Builder
	for _, f := range c.Findings {
		where := ""
		switch {
		case f.Where.Row > 0:
			where = w.say("command.check.where_row", "row", strconv.Itoa(f.Where.Row))
		case f.Where.Period > 0:
			where = w.say("command.check.where_period", "period", strconv.Itoa(f.Where.Period))
		}
		fmt.Fprintf(&out, "%s: %s%s\n  %s\n  %s\n", w.say("audit.severity."+string(f.Severity)), where, f.Words.What, f.Words.Why, f.Words.Right)
	}
	if c.Clean {
		out.WriteString(w.say("command.check.clean", "file", c.File) + "\n")
	} else {
		out.WriteString("\n" + w.say("command.check.counts", "wrong", strconv.Itoa(c.Counts[audit.Wrong]),
			"look", strconv.Itoa(c.Counts[audit.Look]), "owed", strconv.Itoa(c.Counts[audit.Owed])) + "\n")
	}
	_, err := io.WriteString(to, out.String())
	return err
}
