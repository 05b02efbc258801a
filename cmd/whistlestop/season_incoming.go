package main

import (
	"encoding/csv"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"whistlestop/game/dates"
	"whistlestop/game/message"
	"whistlestop/internal/paper/xlsx"
	"whistlestop/season/calendar"
	"whistlestop/season/league"
	"whistlestop/season/schedule"
)

// scheduleFrom takes a schedule that somebody else made: a table or a calendar. Games
// of the schedule that is kept already stay who they are.
func (p *Program) scheduleFrom(c scheduleCommand, l league.League) error {
	rows, faults, err := rowsOf(c.From, l)
	if err != nil {
		return err
	}
	p.incomingFaults(faults)
	if len(rows) == 0 {
		return message.New("command.schedule.nothing", "file", filepath.Base(c.From))
	}
	var before []schedule.Game
	var on *dates.Day
	if _, err := os.Stat(c.Out); err == nil {
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
	games, faults := schedule.Update(l, before, rows, p.words.say("command.schedule.from", "file", filepath.Base(c.From)), on)
	p.incomingFaults(faults)
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
	p.conflictLines(l, games, schedule.Conflicts(l, games))
	return nil
}

// rowsOf reads the games of a file by the end of its name.
func rowsOf(file string, l league.League) ([]schedule.Row, []schedule.Finding, error) {
	text, err := readBounded(file)
	if err != nil {
		return nil, nil, cannotRead(file, err)
	}
	switch strings.ToLower(filepath.Ext(file)) {
	case ".ics", ".ical":
		zone, err := time.LoadLocation(l.Zone)
		if err != nil {
			return nil, nil, message.New("command.schedule.zone", "zone", l.Zone)
		}
		events, wrong := calendar.Read(text, zone)
		var faults []schedule.Finding
		for _, w := range wrong {
			faults = append(faults, schedule.Finding(w))
		}
		rows, more := schedule.FromCalendar(l, events, func(e calendar.Found) (dates.Day, dates.Clock) {
			at := e.Start.In(zone)
			midnight := time.Date(at.Year(), at.Month(), at.Day(), 0, 0, 0, 0, time.UTC)
			return dates.Day(midnight.Unix() / (24 * 60 * 60)), dates.Clock(60*at.Hour() + at.Minute())
		})
		return rows, append(faults, more...), nil
	case ".xlsx":
		table, err := xlsx.Rows(text)
		if err != nil {
			return nil, nil, cannotRead(file, err)
		}
		rows, faults := schedule.FromTable(l, table)
		return rows, faults, nil
	}
	reader := csv.NewReader(strings.NewReader(string(text)))
	reader.FieldsPerRecord = -1
	first, _, _ := strings.Cut(string(text), "\n")
	if strings.Count(first, ";") > strings.Count(first, ",") {
		reader.Comma = ';' // as spreadsheets of half of Europe write it
	}
	table, err := reader.ReadAll()
	if err != nil {
		return nil, nil, cannotRead(file, err)
	}
	rows, faults := schedule.FromTable(l, table)
	return rows, faults, nil
}

func (p *Program) incomingFaults(faults []schedule.Finding) {
	for _, f := range faults {
		if f.Line == 0 {
			p.line(f.Say.Key, flat(f.Say.Args)...)
			continue
		}
		p.line("incoming.at_line", "line", strconv.Itoa(f.Line), "why", "@"+f.Say.String())
	}
}
