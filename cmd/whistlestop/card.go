package main

import (
	"bytes"
	"cmp"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"

	"whistlestop/game/card"
	"whistlestop/game/card/onpaper"
	"whistlestop/game/message"
	"whistlestop/internal/api"
	"whistlestop/internal/folder/cards"
	"whistlestop/internal/paper/pdf"
)

type cardCommand struct {
	Check cardCheckCommand `cmd:""`
	Print cardPrintCommand `cmd:""`
}

type cardCheckCommand struct {
	File string `arg:""`
}

type cardPrintCommand struct {
	File  string `arg:""`
	Paper string `enum:"a4,letter" default:"a4"`
	Out   string `required:""`
}

// printCard writes a card as PDF.
func printCard(out io.Writer, c card.Card, paper string, words api.Words) error {
	return pdf.Card(out, c, pdf.Paper(paper), words)
}

func readCard(file string) (card.Card, error) {
	text, err := readAtMost(file, card.FileMost)
	if err != nil {
		return card.Card{}, cannotRead(file, err)
	}
	read := cards.Beside(card.NewFile(filepath.Base(file), text), file)
	if bad := cmp.Or(read.Bad, read.BadPicture); bad != nil {
		return card.Card{}, message.Because(bad, "card.unusable")
	}
	return read.Card, nil
}

// checkCard reads a card, and tries whether it fits on a page of either paper.
func (p *Program) checkCard(c cardCheckCommand) error {
	read, err := readCard(c.File)
	if err != nil {
		return err
	}
	for _, line := range onpaper.Told(read, p.words.in()) {
		if _, err := fmt.Fprintln(p.Out, line); err != nil {
			return err
		}
	}
	for _, paper := range pdf.Papers {
		if err := printCard(io.Discard, read, string(paper), p.words.in()); err != nil {
			return message.Because(err, "card.not_printed")
		}
	}
	steps := 0
	for _, t := range read.Steps {
		steps += len(t.Do)
	}
	_, err = fmt.Fprintln(p.Out, p.words.say("card.good", "file", filepath.Base(c.File), "rink", read.Rink,
		"steps", strconv.Itoa(steps), "happenings", strconv.Itoa(len(read.Steps))))
	return err
}

// writeCard writes the page to a file, once it is whole.
func (p *Program) writeCard(c cardPrintCommand) error {
	read, err := readCard(c.File)
	if err != nil {
		return err
	}
	var page bytes.Buffer
	if err := printCard(&page, read, c.Paper, p.words.in()); err != nil {
		return message.Because(err, "card.not_printed")
	}
	if err := os.WriteFile(c.Out, page.Bytes(), 0o644); err != nil {
		return message.Because(err, "card.not_written", "file", c.Out)
	}
	_, err = fmt.Fprintln(p.Out, p.words.say("card.printed", "file", c.Out))
	return err
}
