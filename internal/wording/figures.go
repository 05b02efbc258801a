package wording

import (
	"fmt"
	"strconv"
	"strings"

	"whistlestop/season/figures"
	"whistlestop/season/tally"
)

// row is a row of a table of values.
func row(cells ...any) []string {
	texts := make([]string, len(cells))
	for i, cell := range cells {
		texts[i] = fmt.Sprint(cell)
	}
	return texts
}

// Skaters are players' lines as rows, under titles.
func Skaters(w Words, list []figures.SkaterLine) [][]string {
	rows := [][]string{titles(w, "command.figures.", "player", "team", "played", "goals", "assists", "points", "minutes", "plus_minus", "power_play", "short_handed", "winning")}
	for _, l := range list {
		rows = append(rows, row(l.Who, l.Team, l.Played, l.Goals, l.Assists, l.Points(), l.Minutes, signed(l.PlusMinus()), l.PowerPlay, l.ShortHanded, l.Winning))
	}
	return rows
}

// Keepers are goalkeepers' lines as rows, under titles. Minutes are those of a game,
// to which the average goes.
func Keepers(w Words, list []figures.KeeperLine, minutes int) [][]string {
	rows := [][]string{titles(w, "command.figures.", "keeper", "team", "played", "won", "lost", "late_lost", "drawn", "shutouts", "time", "shots", "against", "save_share", "average")}
	for _, l := range list {
		rows = append(rows, row(l.Who, l.Team, l.Played, l.Wins, l.Losses, l.LateLosses, l.Draws, l.Shutouts,
			fmt.Sprintf("%d:%02d", l.Seconds/60, l.Seconds%60), l.Shots, l.Against, share(l.SaveShare()), share(l.Average(minutes))))
	}
	return rows
}

// share is thousandths as people read them, or a dash where there is nothing to share.
func share(n int, has bool) string {
	if !has {
		return "–"
	}
	return fmt.Sprintf("%d.%03d", n/1000, n%1000)
}

// LeadersTitle heads a list of the best: what it is of, and what it asks of whoever is
// in it. Division is the name of one, or nothing.
func LeadersTitle(w Words, list tally.Leaders, division string) []string {
	title := Say(w, "command.figures."+string(list.By))
	if division != "" {
		title = Say(w, "command.figures.leaders_of", "figure", title, "division", division)
	}
	if list.Least == 0 {
		return []string{title}
	}
	key := "command.figures.least_games"
	if list.By.OfKeepers() {
		key = "command.figures.least_minutes"
	}
	return []string{title, Say(w, key, "least", strconv.Itoa(list.Least))}
}

// Leaders are a list of the best as rows. Teams are names by ids.
func Leaders(w Words, list tally.Leaders, teams map[string]string) [][]string {
	var rows [][]string
	for _, one := range list.Rows {
		place, value := strconv.Itoa(one.Place), strconv.Itoa(one.Value)
		if one.Equal {
			place += "="
		}
		if list.By.InThousandths() {
			value = share(one.Value, true)
		}
		var names []string
		for _, id := range one.Teams {
			if name := teams[id]; name != "" {
				id = name
			}
			names = append(names, id)
		}
		rows = append(rows, row(place, one.Name, strings.Join(names, ", "), value, Say(w, "command.figures.in_games", "count", strconv.Itoa(one.Played))))
	}
	return rows
}
