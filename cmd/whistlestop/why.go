package main

import (
	"errors"
	"io"
	"path/filepath"

	"whistlestop/game/message"
	"whistlestop/internal/api"
	"whistlestop/internal/api/why"
)

type whyCommand struct {
	Game   string `arg:""`
	Period int    `arg:""`
	Time   string `arg:""`
	Left   bool
}

// why explains the box, the strength and the score of a game at a moment.
func (p *Program) why(c whyCommand) error {
	ledger, _, err := readGame(c.Game)
	if err != nil {
		return cannotRead(c.Game, err)
	}
	explained, err := why.Explain(p.words.in(), ledger, why.Question{
		File: filepath.Base(c.Game), Period: c.Period, Time: c.Time, Left: c.Left,
	})
	var no *api.No
	if errors.As(err, &no) {
		return &message.Error{Say: no.Say}
	}
	if err != nil {
		return err
	}
	_, err = io.WriteString(p.Out, explained)
	return err
}
