package main

import (
	"encoding/json"
	"path/filepath"
	"strconv"
	"time"

	"whistlestop/game/dates"
	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/internal/folder/durable"
	"whistlestop/record/report"
	"whistlestop/season/handin"
	"whistlestop/season/tally"
)

type handInCommand struct {
	seasonFolder
	Out  string `required:""`
	Game string
	Week string
}

// handIn packs a game, or a week, for the league, with a receipt beside it.
func (p *Program) handIn(c handInCommand) error {
	if c.League == "" || (c.Game == "") == (c.Week == "") {
		return message.New("command.hand_in.what")
	}
	l, _, _, err := c.read()
	if err != nil {
		return err
	}
	t, err := c.season(nil)
	if err != nil {
		return err
	}
	s, err := t.Season()
	if err != nil {
		return err
	}
	chosen, err := c.chosen(s)
	if err != nil {
		return err
	}
	games, err := packed(c.Folder, s, chosen)
	if err != nil {
		return err
	}
	pack, receipt, err := handin.Pack(games, l.HandIn, entry.Millis(time.Now().UnixMilli()))
	if err != nil {
		return err
	}
	text, err := json.MarshalIndent(receipt, "", " ")
	if err != nil {
		return err
	}
	if err := durable.Write(durable.System(), c.Out, pack); err != nil {
		return err
	}
	if err := durable.Write(durable.System(), c.Out+".receipt.json", append(text, '\n')); err != nil {
		return err
	}
	p.line("command.hand_in.done", "file", filepath.Base(c.Out), "games", strconv.Itoa(len(games)), "sum", receipt.SHA256)
	for _, due := range receipt.Games {
		key := "command.hand_in.in_time"
		switch {
		case due.By == 0:
			key = "command.hand_in.no_deadline"
		case due.Late:
			key = "command.hand_in.late"
		}
		p.line(key, "game", due.ID, "hours", strconv.Itoa(due.Hours), "by", time.UnixMilli(int64(due.By)).Format("2006-01-02 15:04"))
	}
	return nil
}

// chosen are the ledgers of the games that are asked for, by game.
func (c handInCommand) chosen(s tally.Season) (map[string]string, error) {
	week := 0
	if c.Week != "" {
		day, err := dates.Parse(c.Week)
		if err != nil {
			return nil, err
		}
		week = day.Week()
	}
	ledgers := map[string]string{}
	for _, g := range s.Games {
		asked := g.ID == c.Game || c.Game == "" && g.Place != nil && g.Place.Day.Week() == week
		if asked && g.Result != nil && g.Result.Ledger != "" {
			ledgers[g.Result.Ledger] = g.ID
		}
	}
	if len(ledgers) == 0 {
		return nil, message.New("command.hand_in.none")
	}
	return ledgers, nil
}

// packed reads the ledgers of some games.
func packed(folder string, s tally.Season, chosen map[string]string) ([]handin.Game, error) {
	var games []handin.Game
	err := eachGame(folder, func(file string, document report.Document) error {
		id, asked := chosen[document.Game]
		if !asked {
			return nil
		}
		text, err := readBounded(file)
		if err != nil {
			return cannotRead(file, err)
		}
		one := handin.Game{ID: id, Report: document, Ledger: text}
		for _, suspension := range s.Suspensions {
			if suspension.Game == id {
				one.Suspensions = append(one.Suspensions, suspension)
			}
		}
		games = append(games, one)
		return nil
	})
	return games, err
}
