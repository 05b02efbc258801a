package main

import (
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
	"whistlestop/internal/intake"
	"whistlestop/internal/paper/xlsx"
	"whistlestop/record/audit"
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
	record, err := p.readRecord(c)
	if err != nil {
		return &status{unreadable, err}
	}
	s := record.Sheet
	findings, err := audit.Check(s)
	if err != nil {
		return &status{unreadable, cannotRead(c.File, err)}
	}
	out := checked{
		Version: 1,
		File:    filepath.Base(c.File), Game: record.Game, Division: s.Division.ID, Code: s.Division.Code, Times: s.Times,
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

// readRecord reads the record of a game in any form.
func (p *Program) readRecord(c checkCommand) (intake.Record, error) {
	text, err := readBounded(c.File)
	if err != nil {
		return intake.Record{}, cannotRead(c.File, err)
	}
	times := rulebook.ReportTimes(c.Times)
	if c.Times == "as-division" {
		times = rulebook.TimesUnsaid
	}
	return intake.ReadRecord(c.File, text, intake.Holding{
		Division: c.Division, Times: times, Known: divisionIDs(), Find: findDivision, Languages: p.likeliest,
	})
}

// likeliest are the languages that the program speaks, its own first.
func (p *Program) likeliest(yield func(xlsx.Words) bool) {
	own := p.words.in().Language()
	for i, tag := range append([]string{own}, p.spoken().Tags()...) {
		if i > 0 && tag == own {
			continue
		}
		if words, _ := p.spoken().Best(tag); !yield(words) {
			return
		}
	}
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
