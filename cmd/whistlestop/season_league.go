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
	"text/tabwriter"

	"whistlestop/game/dates"
	"whistlestop/game/message"
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
	p.findings(s.Findings)
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
	for _, c := range list {
		p.line(c.Say.Key, flat(c.Say.Args)...)
	}
	fmt.Fprintln(p.Out)
	return nil
}

func (p *Program) leagueTable(d tally.Division) error {
	p.line("command.season.division", "division", d.Name, "played", strconv.Itoa(d.Played), "to_come", strconv.Itoa(d.ToCome))
	if !d.Ranked {
		p.line("command.season.not_ranked")
		return nil
	}
	title := func(key string) string { return p.words.say("command.standings." + key) }
	out := tabwriter.NewWriter(p.Out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(out, strings.Join([]string{
		title("place"), title("team"), title("played"), title("wins"), title("late_wins"), title("draws"),
		title("losses"), title("late_losses"), title("goals"), title("points"),
	}, "\t"))
	for _, l := range d.Places {
		fmt.Fprintf(out, "%d\t%s\t%d\t%d\t%d, %d\t%d\t%d\t%d, %d\t%d-%d\t%d\n", l.Place, l.Name, l.Played,
			l.Won, l.WonIn[1], l.WonIn[2], l.Drawn, l.Lost, l.LostIn[1], l.LostIn[2], l.For, l.Against, l.Points)
	}
	if err := out.Flush(); err != nil {
		return err
	}
	for _, l := range d.Places {
		if l.Taken != 0 {
			p.line("command.season.taken", "team", l.Name, "points", fmt.Sprintf("%+d", l.Taken), "why", strings.Join(l.TakenWhys, "; "))
		}
	}
	for _, reason := range d.Reasons {
		p.line(reason.Key, flat(reason.Args)...)
	}
	for _, group := range d.Equal {
		p.line(group.Say.Key, flat(group.Say.Args)...)
	}
	fmt.Fprintln(p.Out)
	return nil
}

func flat(args message.Args) (pairs []string) {
	for _, arg := range args {
		pairs = append(pairs, arg.Name, arg.Text)
	}
	return pairs
}

func (p *Program) findings(list []tally.Finding) {
	for _, f := range list {
		p.line(f.Say.Key, flat(f.Say.Args)...)
	}
}

// leagueSuspensions prints what everybody owes, or who must miss one game.
func (p *Program) leagueSuspensions(c suspendedCommand) error {
	t, err := c.season(nil)
	if err != nil {
		return err
	}
	if c.Game != "" {
		return p.outOf(t, c.Game)
	}
	s, err := t.Season()
	if err != nil {
		return err
	}
	names := teamNames(s)
	if len(s.Suspensions) == 0 {
		p.line("command.suspended.none")
	}
	for _, one := range s.Suspensions {
		who := p.words.say("command.season.person", "who", one.Name, "team", names[one.Team])
		switch {
		case one.Ruling:
			p.line("command.season.ruling", "who", who, "why", one.Why, "game", one.Game)
		default:
			p.line("command.season.earned", "who", who, "games", strconv.Itoa(one.Games), "why", one.Why, "game", one.Game)
		}
		for _, served := range one.Served {
			key := "command.season.served"
			if !served.Listed {
				key = "command.season.served_unlisted"
			}
			p.line(key, "game", served.Game, "number", strconv.Itoa(served.Number))
		}
		for _, next := range one.Next {
			p.line("command.season.next", "game", next)
		}
		if one.Owed > 0 {
			p.line("command.season.owed", "games", strconv.Itoa(one.Owed))
		}
	}
	p.findings(s.Findings)
	if s.AtLeast {
		p.line("command.suspended.least")
	}
	return nil
}

func (p *Program) outOf(t *tally.Tally, game string) error {
	out, err := t.Out(game)
	if err != nil {
		return err
	}
	if len(out) == 0 {
		p.line("command.season.nobody_out", "game", game)
	}
	for _, one := range out {
		key := "command.season.out"
		if one.Number == 0 {
			key = "command.season.out_meanwhile"
		}
		p.line(key, "who", one.Name, "why", one.Why, "game", one.Game, "number", strconv.Itoa(one.Number), "games", strconv.Itoa(one.Games))
	}
	p.line("command.suspended.least")
	return nil
}

func teamNames(s tally.Season) map[string]string {
	names := map[string]string{}
	for _, d := range s.Divisions {
		for _, l := range d.Places {
			names[l.Team] = l.Name
		}
	}
	return names
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
	names := teamNames(s)
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
	for _, change := range list {
		p.line(change.Say.Key, flat(change.Say.Args)...)
	}
	return nil
}
