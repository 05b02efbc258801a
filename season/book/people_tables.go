package book

import (
	"strconv"
	"strings"

	"whistlestop/game/message"
	"whistlestop/record/tables"
	"whistlestop/season/tally"
)

// leaders are the lists of the best of a division, one under the other.
func (m *maker) leaders(division string) tables.Table {
	t := table(LeaderLists,
		text("figure", "season_book.figure"), number("place", "command.standings.place"), wide("player", "command.figures.player"),
		text("team", "command.figures.team"), number("value", "season_book.value"), number("played", "command.figures.played"))
	least := map[string]bool{}
	for _, list := range m.season.Leaders {
		if list.Division != division {
			continue
		}
		if list.Least > 0 {
			key := "command.figures.least_games"
			if list.By.OfKeepers() {
				key = "command.figures.least_minutes"
			}
			if !least[key] {
				least[key] = true
				t.Notes = append(t.Notes, message.Say{Key: key, Args: message.Pairs("least", strconv.Itoa(list.Least))})
			}
		}
		for _, one := range list.Rows {
			value := tables.Cell{Kind: tables.Whole, Number: one.Value, Bold: true}
			if list.By.InThousandths() {
				value.Kind = tables.Thousandths
			}
			var teams []string
			for _, id := range one.Teams {
				teams = append(teams, m.team(id))
			}
			t.Rows = append(t.Rows, []tables.Cell{
				tables.S("command.figures." + string(list.By)), tables.N(one.Place), tables.T(m.who(one.Teams[len(one.Teams)-1], one.Name)),
				tables.T(strings.Join(teams, ", ")), value, tables.N(one.Played),
			})
		}
	}
	return t
}

// skaters are a division's skaters, more points first.
func (m *maker) skaters(division string) tables.Table {
	t := table(Skaters, wide("player", "command.figures.player"), text("team", "command.figures.team"))
	for _, name := range []string{"played", "goals", "assists", "points", "minutes", "plus_minus", "power_play", "short_handed", "winning"} {
		t.Columns = append(t.Columns, number(name, "command.figures."+name))
	}
	for _, l := range m.season.Skaters {
		if l.Stage != division {
			continue
		}
		points := tables.Cell{Kind: tables.Whole, Number: l.Points(), Bold: true}
		t.Rows = append(t.Rows, []tables.Cell{
			tables.T(m.who(string(l.Team), l.Name)), tables.T(m.team(string(l.Team))), tables.N(l.Played), tables.N(l.Goals), tables.N(l.Assists), points,
			tables.N(l.Minutes), {Kind: tables.Signed, Number: l.PlusMinus()}, tables.N(l.PowerPlay), tables.N(l.ShortHanded), tables.N(l.Winning),
		})
	}
	return t
}

// keepers are a division's goalkeepers, the longest in the net first.
func (m *maker) keepers(division string) tables.Table {
	t := table(Keepers, wide("goalkeeper", "command.figures.keeper"), text("team", "command.figures.team"))
	for _, name := range []string{"played", "won", "lost", "late_lost", "drawn", "shutouts", "time", "shots", "against", "save_share", "average"} {
		t.Columns = append(t.Columns, number(name, "command.figures."+name))
	}
	for _, l := range m.season.Keepers {
		if l.Stage != division {
			continue
		}
		share, average := tables.T("–"), tables.T("–")
		if n, has := l.SaveShare(); has {
			share = tables.Cell{Kind: tables.Thousandths, Number: n}
		}
		if n, has := l.Average(m.season.GameMinutes); has {
			average = tables.Cell{Kind: tables.Thousandths, Number: n}
		}
		t.Rows = append(t.Rows, []tables.Cell{
			tables.T(m.who(string(l.Team), l.Name)), tables.T(m.team(string(l.Team))), tables.N(l.Played), tables.N(l.Wins), tables.N(l.Losses),
			tables.N(l.LateLosses), tables.N(l.Draws), tables.N(l.Shutouts), {Kind: tables.Seconds, Number: l.Seconds}, tables.N(l.Shots), tables.N(l.Against), share, average,
		})
	}
	return t
}

// suspensions are those of a division's teams. Where there are no names, nothing of
// grown-ups stands there, nor for what it was: that is between the league and the team.
func (m *maker) suspensions(division string) tables.Table {
	t := table(Suspensions,
		wide("player", "command.figures.player"), text("team", "command.figures.team"), text("earned_in", "season_book.earned_in"), text("rule", "season_book.rule"),
		number("games", "season_book.games"), text("missed", "season_book.missed"), text("to_miss", "season_book.to_miss"), number("owed", "season_book.owed"))
	of := map[string]bool{}
	for _, d := range m.league.Divisions {
		for _, in := range d.Teams {
			of[in.ID] = d.ID == division
		}
	}
	for _, one := range m.season.Suspensions {
		if !of[one.Team] || one.Coach && !m.names {
			continue
		}
		t.Rows = append(t.Rows, m.suspension(one))
	}
	return t
}

func (m *maker) suspension(one tally.Suspension) []tables.Cell {
	games := tables.N(one.Games)
	if one.Ruling {
		games = tables.S("season_book.ruling")
	}
	earned, rule := one.Game, one.Why
	if !m.names {
		earned, rule = "", ""
	}
	var served []string
	for _, s := range one.Served {
		served = append(served, s.Game)
	}
	return []tables.Cell{
		tables.T(m.who(one.Team, one.Name)), tables.T(m.team(one.Team)), tables.T(earned), tables.T(rule), games,
		tables.T(strings.Join(served, ", ")), tables.T(strings.Join(one.Next, ", ")), tables.N(one.Owed),
	}
}
