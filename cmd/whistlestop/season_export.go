package main

import (
	"bytes"
	"slices"
	"strings"
	"time"

	"whistlestop/game/message"
	"whistlestop/internal/folder/durable"
	"whistlestop/internal/intake"
	"whistlestop/internal/paper"
	"whistlestop/internal/wording"
	"whistlestop/record/report"
	"whistlestop/record/tables"
	seasonbook "whistlestop/season/book"
	"whistlestop/season/calendar"
	"whistlestop/season/league"
	"whistlestop/season/results"
	"whistlestop/season/schedule"
)

type exportCommand struct {
	scheduleFiles
	Games     string `arg:"" optional:"" type:"existingdir"`
	As        string `enum:"${exports}" default:"csv"`
	What      string
	Decisions string `type:"existingfile"`
	Division  string
	Names     string `enum:"no,adults,yes" default:"no"`
	Paper     string `enum:"a4,letter" default:"a4"`
	Out       string
	Team      string
	Rink      string
}

// exports are the formats of a season: a calendar, and every format that writes tables.
func exports() string {
	return strings.Join(append([]string{calendarFormat}, paper.TableFormats()...), ",")
}

// calendarFormat is the ending of a calendar's file (RFC 5545, 8.1).
const calendarFormat = "ics"

// export writes a schedule, or with the games' folder a whole season, in a format.
func (p *Program) export(c exportCommand) error {
	l, games, err := c.read()
	if err != nil {
		return err
	}
	if c.What != "" && !slices.Contains(seasonbook.Kinds, c.What) {
		return message.New("command.export.what", "what", message.Plain(c.What), "known", strings.Join(seasonbook.Kinds, ", "))
	}
	var raw []byte
	switch {
	case c.As == calendarFormat:
		raw, err = p.calendarOf(c, l, games)
	case c.Games != "":
		raw, err = p.bookOf(c, l)
	case c.What == "" || c.What == seasonbook.Schedule:
		raw, err = p.scheduleOf(c, l, games)
	default:
		err = message.New("command.export.games")
	}
	if err != nil {
		return err
	}
	if c.Out != "" {
		return durable.Write(durable.System(), c.Out, raw)
	}
	_, err = p.Out.Write(raw)
	return err
}

// chosen are the games of a schedule that are asked for, by time.
func (c exportCommand) chosen(games []schedule.Game) ([]schedule.Game, error) {
	chosen := schedule.ByTime(schedule.Of(games, c.Team, c.Rink))
	if c.Division != "" {
		chosen = slices.DeleteFunc(chosen, func(g schedule.Game) bool { return g.Division != c.Division })
	}
	if len(chosen) == 0 {
		return nil, message.New("command.export.none")
	}
	return chosen, nil
}

// calendarOf is games as a calendar.
func (p *Program) calendarOf(c exportCommand, l league.League, games []schedule.Game) ([]byte, error) {
	chosen, err := c.chosen(games)
	if err != nil {
		return nil, err
	}
	zone, err := intake.Zone(l)
	if err != nil {
		return nil, err
	}
	return calendar.Write(wording.Season{Words: p.words.in(), League: l}.Calendar(chosen, zone, time.Now())), nil
}

// scheduleOf is games as a table.
func (p *Program) scheduleOf(c exportCommand, l league.League, games []schedule.Game) ([]byte, error) {
	chosen, err := c.chosen(games)
	if err != nil {
		return nil, err
	}
	return p.written(c, tables.Document{
		Title: tables.S("command.export.name", "league", l.Name, "season", l.Season),
		Parts: []tables.Part{{Tables: []tables.Table{seasonbook.Games(l, chosen)}}},
	})
}

// bookOf is a season as its book, or one kind of its tables.
func (p *Program) bookOf(c exportCommand, l league.League) ([]byte, error) {
	files := seasonFiles{League: c.League, Schedule: c.Schedule, Decisions: c.Decisions}
	t, err := seasonFolder{Folder: c.Games, seasonFiles: files}.season(nil)
	if err != nil {
		return nil, err
	}
	s, err := t.Season()
	if err != nil {
		return nil, err
	}
	known := map[string]results.Facts{}
	if err := eachGame(c.Games, func(_ string, document report.Document) error {
		known[document.Game] = results.FactsOf(document)
		return nil
	}); err != nil {
		return nil, err
	}
	people := seasonbook.PeopleOf(s, func(ledger string) (results.Facts, bool) {
		one, is := known[ledger]
		return one, is
	})
	return p.written(c, seasonbook.Of(l, s, people, seasonbook.Options{Names: seasonbook.Names(c.Names), Division: c.Division, What: c.What}))
}

func (p *Program) written(c exportCommand, d tables.Document) ([]byte, error) {
	var out bytes.Buffer
	err := writeTables(&out, d, c.As, paper.Options{Paper: c.Paper, Words: p.words.in()})
	return out.Bytes(), err
}
