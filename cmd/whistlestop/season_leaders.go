package main

import (
	"fmt"
	"strconv"
	"strings"
	"text/tabwriter"

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
		title := p.words.say("command.figures." + string(list.By))
		if name := divisions[list.Division]; name != "" {
			title = p.words.say("command.figures.leaders_of", "figure", title, "division", name)
		}
		fmt.Fprintln(p.Out, title)
		if list.Least > 0 {
			key := "command.figures.least_games"
			if list.By.OfKeepers() {
				key = "command.figures.least_minutes"
			}
			p.line(key, "least", strconv.Itoa(list.Least))
		}
		out := tabwriter.NewWriter(p.Out, 0, 0, 2, ' ', 0)
		for _, one := range list.Rows {
			place, value := strconv.Itoa(one.Place), strconv.Itoa(one.Value)
			if one.Equal {
				place += "="
			}
			if list.By.InThousandths() {
				value = thousandths(one.Value)
			}
			var names []string
			for _, id := range one.Teams {
				if name := teams[id]; name != "" {
					id = name
				}
				names = append(names, id)
			}
			fmt.Fprintf(out, "%s\t%s\t%s\t%s\t%s\n", place, one.Name, strings.Join(names, ", "), value,
				p.words.say("command.figures.in_games", "count", strconv.Itoa(one.Played)))
		}
		if err := out.Flush(); err != nil {
			return err
		}
		fmt.Fprintln(p.Out)
	}
	return nil
}

func thousandths(n int) string { return fmt.Sprintf("%d.%03d", n/1000, n%1000) }

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
