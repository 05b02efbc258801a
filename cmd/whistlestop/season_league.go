package main

import (
	"cmp"
	"encoding/json"
	"fmt"
	"maps"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"whistlestop/game/dates"
	"whistlestop/game/message"
	"whistlestop/internal/paper/tables"
	"whistlestop/internal/wording"
	"whistlestop/record/report"
	"whistlestop/season/figures"
	"whistlestop/season/league"
	"whistlestop/season/results"
	"whistlestop/season/schedule"
	"whistlestop/season/standings"
	"whistlestop/season/tally"
)

// read reads a league with its schedule and its decisions, if there are any.
func (c seasonFiles) read() (l league.League, games []schedule.Game, d league.Decisions, err error) {
	if c.Schedule == "" {
		return l, nil, d, message.New("command.season.schedule")
	}
	l, games, err = scheduleFiles{leagueFile{c.League}, c.Schedule}.read()
	if err != nil || c.Decisions == "" {
		return l, games, d, err
	}
	text, err := readBounded(c.Decisions)
	if err != nil {
		return l, games, d, cannotRead(c.Decisions, err)
	}
	d, err = league.ReadDecisions(text, filepath.Base(c.Decisions), l)
	return l, games, d, err
}

// season adds a folder of games up for a league.
func (c seasonFolder) season(until *dates.Day) (*tally.Tally, error) {
	l, games, decisions, err := c.read()
	if err != nil {
		return nil, err
	}
	t, err := tally.New(l, games, decisions)
	if err != nil {
		return nil, err
	}
	err = eachGame(c.Folder, func(_ string, document report.Document) error {
		t.Put(results.FactsOf(document))
		return nil
	})
	if err != nil {
		return nil, err
	}
	if until == nil {
		return t, nil
	}
	return t.Until(*until)
}

// leagueStandings prints the tables of a league, with a sentence for every tie.
func (p *Program) leagueStandings(c standingsCommand) error {
	var until *dates.Day
	if c.At != "" {
		day, err := dates.Parse(c.At)
		if err != nil {
			return err
		}
		until = &day
	}
	t, err := c.season(until)
	if err != nil {
		return err
	}
	picks, err := picksOf(c.Pick)
	if err != nil {
		return err
	}
	if len(picks) > 0 {
		if t, err = t.WhatIf(picks); err != nil {
			return err
		}
	}
	s, err := t.Season()
	if err != nil {
		return err
	}
	for _, d := range s.Divisions {
		if c.Division != "" && c.Division != d.ID {
			continue
		}
		if err := p.leagueTable(d); err != nil {
			return err
		}
		if c.Chances && d.Ranked {
			if err := p.chances(t, d.ID); err != nil {
				return err
			}
		}
	}
	p.lines(wording.SeasonFindings(p.words, s.Findings))
	return nil
}

// picksOf reads results that were picked: u14-007=3-1, or 3-2:ot.
func picksOf(texts []string) ([]tally.Pick, error) {
	var picks []tally.Pick
	for _, text := range texts {
		game, result, _ := strings.Cut(text, "=")
		score, how, late := strings.Cut(result, ":")
		home, visitors, both := strings.Cut(score, "-")
		one := tally.Pick{Game: game, How: standings.Regulation}
		if late {
			one.How = standings.How(how)
		}
		var err error
		for i, goals := range []string{home, visitors} {
			if one.Goals[i], err = strconv.Atoi(goals); err != nil {
				both = false
			}
		}
		if !both || !slices.Contains([]standings.How{standings.Regulation, standings.Overtime, standings.ShootOut}, one.How) {
			return nil, message.New("command.season.pick", "pick", message.Plain(text))
		}
		picks = append(picks, one)
	}
	return picks, nil
}

// chances says where each team of a division may still end.
func (p *Program) chances(t *tally.Tally, division string) error {
	list, err := t.Chances(division, 0)
	if err != nil {
		return err
	}
	p.lines(append(wording.Chances(p.words, list), ""))
	return nil
}

func (p *Program) leagueTable(d tally.Division) error {
	p.lines(wording.Division(p.words, d))
	if !d.Ranked {
		return nil
	}
	if err := tables.Text.Write(p.Out, wording.Places(p.words, d.Places)); err != nil {
		return err
	}
	p.lines(append(wording.Reasons(p.words, d), ""))
	return nil
}

// leagueSuspensions prints what everybody owes, or who must miss one game.
func (p *Program) leagueSuspensions(c suspendedCommand) error {
	t, err := c.season(nil)
	if err != nil {
		return err
	}
	if c.Game != "" {
		out, err := t.Out(c.Game)
		if err == nil {
			p.lines(wording.Out(p.words, c.Game, out))
		}
		return err
	}
	s, err := t.Season()
	if err != nil {
		return err
	}
	p.lines(wording.Suspensions(p.words, s))
	return nil
}

// leagueFigures prints the figures of a league's season.
func (p *Program) leagueFigures(c figuresCommand) error {
	t, err := c.season(nil)
	if err != nil {
		return err
	}
	s, err := t.Season()
	if err != nil {
		return err
	}
	if c.Of != "" {
		return p.behind(t, s, c.Of)
	}
	if c.JSON {
		out := json.NewEncoder(p.Out)
		out.SetIndent("", " ")
		return out.Encode(s)
	}
	if c.Leaders {
		return p.leagueLeaders(s, c.Division)
	}
	names := wording.TeamNames(s)
	var skaters []figures.SkaterLine
	for _, l := range s.Skaters {
		if c.Division == "" || c.Division == l.Stage {
			l.Who, l.Team = figures.Person(l.Name), figures.Team(names[string(l.Team)])
			skaters = append(skaters, l.SkaterLine)
		}
	}
	var keepers []figures.KeeperLine
	for _, l := range s.Keepers {
		if c.Division == "" || c.Division == l.Stage {
			l.Who, l.Team = figures.Person(l.Name), figures.Team(names[string(l.Team)])
			keepers = append(keepers, l.KeeperLine)
		}
	}
	return p.writeFigures(cmp.Or(c.Minutes, s.GameMinutes), skaters, keepers)
}

// behind prints the games and entries that somebody's figures count.
func (p *Program) behind(t *tally.Tally, s tally.Season, who string) error {
	keys := map[string]bool{}
	for _, l := range s.Skaters {
		if string(l.Who) == who || l.Name == who {
			keys[string(l.Who)] = true
		}
	}
	for _, l := range s.Keepers {
		if string(l.Who) == who || l.Name == who {
			keys[string(l.Who)] = true
		}
	}
	if len(keys) == 0 {
		return message.New("command.season.nobody", "who", message.Plain(who))
	}
	for _, key := range slices.Sorted(maps.Keys(keys)) {
		fmt.Fprintln(p.Out, key)
		for _, b := range t.Behind(key) {
			line := "command.season.behind"
			if b.Entry != "" {
				line = "command.season.behind_entry"
			}
			p.line(line, "figure", "@command.figures."+b.Figure, "count", strconv.Itoa(b.Count), "game", b.Game, "entry", b.Entry)
		}
	}
	return nil
}

type changesCommand struct {
	Before string `arg:"" type:"existingdir"`
	After  string `arg:"" type:"existingdir"`
	seasonFiles
	Of string
}

// changes prints what is different for people between two folders.
func (p *Program) changes(c changesCommand) error {
	if c.League == "" {
		return message.New("command.season.league")
	}
	var both [2]tally.Season
	for i, folder := range []string{c.Before, c.After} {
		t, err := seasonFolder{Folder: folder, seasonFiles: c.seasonFiles}.season(nil)
		if err != nil {
			return err
		}
		if both[i], err = t.Season(); err != nil {
			return err
		}
	}
	list := tally.Changes(both[0], both[1])
	if c.Of != "" {
		list = tally.Of(list, c.Of)
	}
	if len(list) == 0 {
		p.line("command.season.no_changes")
	}
	p.lines(wording.Changes(p.words, list))
	return nil
}
