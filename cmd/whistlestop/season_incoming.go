package main

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"time"

	"whistlestop/game/dates"
	"whistlestop/game/message"
	"whistlestop/internal/intake"
	"whistlestop/internal/wording"
	"whistlestop/season/league"
	"whistlestop/season/schedule"
)

// scheduleFrom takes a schedule that somebody else made: a table or a calendar. Games
// of the schedule that is kept already stay who they are.
func (p *Program) scheduleFrom(c scheduleCommand, l league.League) error {
	text, err := readFile(c.From)
	if err != nil {
		return err
	}
	read, err := intake.Schedule(c.From, text, l)
	if err != nil {
		return err
	}
	say := wording.Season{Words: p.words, League: l}
	p.lines(say.Findings(read.Findings))
	if len(read.Rows) == 0 {
		return message.New("command.schedule.nothing", "file", filepath.Base(c.From))
	}
	var before []schedule.Game
	var on *dates.Day
	taken, err := idsBefore(l, filepath.Dir(c.Out), c.Old)
	if err != nil {
		return err
	}
	if another, err := p.asideBefore(c.Out, l); err != nil {
		return err
	} else if another { // this season has no games yet
	} else if _, err := os.Stat(c.Out); err == nil {
		if _, before, err = (scheduleFiles{leagueFile{c.League}, c.Out}).read(); err != nil {
			return err
		}
		today := dates.Day(time.Now().Unix() / (24 * 60 * 60))
		if today > l.From {
			on = &today
		}
	} else if !errors.Is(err, fs.ErrNotExist) {
		return cannotRead(c.Out, err)
	}
	games, faults := schedule.Update(l, before, read.Rows, p.words.say("command.schedule.from", "file", filepath.Base(c.From)), on, taken...)
	p.lines(say.Findings(faults))
	if len(games) == 0 {
		return message.New("command.schedule.nothing", "file", filepath.Base(c.From))
	}
	changed := 0
	for i, g := range before {
		if games[i].Sequence() != g.Sequence() {
			changed++
		}
	}
	if err := keepSchedule(c.Out, l, games); err != nil {
		return err
	}
	p.line("command.schedule.kept", "file", filepath.Base(c.Out), "games", strconv.Itoa(len(games)),
		"fresh", strconv.Itoa(len(games)-len(before)), "changed", strconv.Itoa(changed))
	p.lines(say.Conflicts(games, schedule.Conflicts(l, games)))
	return nil
}
