package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/game/rulebook"
	"whistlestop/internal/api"
	"whistlestop/internal/paper"
	"whistlestop/record/tables"
)

type reportCommand struct {
	Game    string   `arg:""`
	Out     []string `required:"" type:"path"`
	Paper   string   `enum:"a4,letter" default:"a4"`
	Times   string   `enum:"elapsed,remaining,league" default:"league"`
	Names   bool
	Picture bool
}

// report writes the report of a game in every format that was asked for. Nothing
// is written when one of them cannot be made.
func (p *Program) report(c reportCommand) error {
	ledger, _, err := readGame(c.Game)
	if err != nil {
		return cannotRead(c.Game, err)
	}
	made := make([][]byte, len(c.Out))
	for i, file := range c.Out {
		o := paper.Options{Paper: c.Paper, Names: c.Names, Picture: c.Picture, Words: p.words.in()}
		if c.Times != "league" {
			o.Times = rulebook.ReportTimes(c.Times)
		}
		var out bytes.Buffer
		if err := writeReport(&out, ledger, strings.ToLower(strings.TrimPrefix(filepath.Ext(file), ".")), o); err != nil {
			if errors.Is(err, errFormat) {
				return message.New("command.report.format", "file", file, "endings", paper.Endings())
			}
			return err
		}
		made[i] = out.Bytes()
	}
	for i, file := range c.Out {
		if err := os.WriteFile(file, made[i], 0o600); err != nil { // names of children
			return message.Because(err, "command.unwritable", "file", file)
		}
		if _, err := fmt.Fprintln(p.Out, p.words.say("command.report.written", "file", file)); err != nil {
			return err
		}
	}
	return nil
}

// writeReport writes the report of a ledger in a format of the list.
func writeTables(out io.Writer, d tables.Document, name string, o paper.Options) error {
	format, known := paper.ByName(name)
	if !known || !format.TakesTables() {
		return message.New("command.report.format", "file", name, "endings", paper.Endings())
	}
	return format.WriteTables(out, d, o)
}

func writeReport(out io.Writer, ledger []entry.Entry, name string, o paper.Options) error {
	format, known := paper.ByName(name)
	if !known {
		return errFormat
	}
	o.Zone = time.Local
	return format.Write(out, ledger, o)
}

// writeHubReport writes the report of a ledger as a hub hands it out.
func writeHubReport(out io.Writer, ledger []entry.Entry, name string, words api.Words) (media string, err error) {
	format, known := paper.ByName(name)
	if !known {
		return "", errFormat
	}
	return format.Media, format.Write(out, ledger, paper.Options{Paper: "a4", Zone: time.Local, Words: words})
}

// errFormat is returned for a format that no report has.
var errFormat = errors.New("no such format")
