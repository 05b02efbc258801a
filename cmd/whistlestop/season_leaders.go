package main

import (
	"whistlestop/internal/paper/tables"
	"whistlestop/internal/wording"
	"whistlestop/season/figures"
	"whistlestop/season/tally"
)

// writeLeaders prints the lists of the best, each with what it asks of whoever is in it.
func (p *Program) writeLeaders(lists []tally.Leaders, teams map[string]string, divisions map[string]string) error {
	if len(lists) == 0 {
		p.line("command.figures.no_leaders")
	}
	for _, list := range lists {
		p.lines(wording.LeadersTitle(p.words, list, divisions[list.Division]))
		if err := tables.Text.Write(p.Out, wording.Leaders(p.words, list, teams)); err != nil {
			return err
		}
		p.lines([]string{""})
	}
	return nil
}

// folderLeaders are the lists of a folder without a league: nobody has to have played
// any share of the games.
func folderLeaders(season *figures.Season, minutes int) []tally.Leaders {
	var lists []tally.Leaders
	for _, list := range season.Leaders(figures.Terms{GameMinutes: minutes}) {
		one := tally.Leaders{By: list.By}
		for _, l := range list.Rows {
			one.Rows = append(one.Rows, tally.LeaderOf(l, list.By, string(l.Who)))
		}
		lists = append(lists, one)
	}
	return lists
}

// leagueLeaders prints the lists of a league's season.
func (p *Program) leagueLeaders(s tally.Season, division string) error {
	divisions := map[string]string{}
	for _, d := range s.Divisions {
		divisions[d.ID] = d.Name
	}
	var lists []tally.Leaders
	for _, list := range s.Leaders {
		if division == "" || division == list.Division {
			lists = append(lists, list)
		}
	}
	return p.writeLeaders(lists, wording.TeamNames(s), divisions)
}
