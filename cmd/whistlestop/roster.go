package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"strconv"

	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
	"whistlestop/internal/paper/xlsx"
	"whistlestop/record/roster"
)

type rosterCommand struct {
	Check rosterCheckCommand `cmd:""`
}

type rosterCheckCommand struct {
	File     string `arg:""`
	Division string
	JSON     bool
}

// readRoster reads the bytes of a roster, whatever they are.
func readRoster(file []byte) roster.Sheet {
	workbook := bytes.HasPrefix(file, []byte("PK")) || bytes.HasPrefix(file, []byte{0xd0, 0xcf, 0x11, 0xe0})
	if !workbook {
		return roster.File(file)
	}
	tables, err := xlsx.Tables(file)
	if err == nil {
		return fullest(tables)
	}
	why := rules.Say{Key: "xlsx.unreadable"}
	var refused *xlsx.Refused
	if errors.As(err, &refused) {
		why = refused.Say
	}
	return roster.Sheet{Findings: []roster.Finding{{Level: roster.Mistake, Say: why}}}
}

// fullest reads the sheet of a workbook that has most players, and says what it
// left aside.
func fullest(tables []xlsx.Table) roster.Sheet {
	sheets, best := make([]roster.Sheet, len(tables)), 0
	for i, table := range tables {
		sheets[i] = roster.Cells(table.Rows)
		if len(sheets[i].Team.Players) > len(sheets[best].Team.Players) {
			best = i
		}
	}
	read := &sheets[best]
	for i, table := range tables {
		if n := len(sheets[i].Team.Players); i != best && n > 0 {
			read.Findings = append(read.Findings, roster.Finding{Level: roster.Look, Say: rules.Say{
				Key: "roster.other_sheet", Args: rules.Pairs("sheet", entry.Shown(table.Name), "count", strconv.Itoa(n), "read", entry.Shown(tables[best].Name)),
			}})
		}
	}
	return *read
}

// errRoster ends the program with a failure after everything was said.
var errRoster = message.New("command.roster.unusable")

func (p *Program) checkRoster(c rosterCheckCommand) error {
	division := rulebook.Division{}
	if c.Division != "" {
		found, err := findDivision(c.Division)
		if err != nil {
			return err
		}
		division = found
	}
	file, err := readMost(c.File)
	if err != nil {
		return err
	}
	sheet := readRoster(file)
	findings := sheet.Check(division)
	if c.JSON {
		out := json.NewEncoder(p.Out)
		out.SetIndent("", "  ")
		err = out.Encode(map[string]any{"team": sheet.Team, "usable": roster.Usable(findings), "findings": findings})
	} else {
		err = p.sayRoster(sheet, findings)
	}
	if err == nil && !roster.Usable(findings) {
		return errRoster
	}
	return err
}

func (p *Program) sayRoster(sheet roster.Sheet, findings []roster.Finding) error {
	for _, f := range findings {
		text := p.words.sentence(f.Say)
		switch {
		case f.Column > 0:
			text = p.words.say("command.roster.cell", "row", strconv.Itoa(f.Row), "column", strconv.Itoa(f.Column), "what", text)
		case f.Row > 0:
			text = p.words.say("command.roster.row", "row", strconv.Itoa(f.Row), "what", text)
		}
		if f.Level == roster.Look {
			text = p.words.say("command.roster.look", "what", text)
		}
		if _, err := fmt.Fprintln(p.Out, text); err != nil {
			return err
		}
	}
	_, err := fmt.Fprintln(p.Out, p.words.say("command.roster.read", "players", strconv.Itoa(len(sheet.Team.Players)),
		"staff", strconv.Itoa(len(sheet.Team.Staff))))
	return err
}
