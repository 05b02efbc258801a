package main

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/record/report"
)

type totalsCommand struct {
	Game string `arg:""`
	JSON bool
}

// totals prints the official totals of a game.
func (p *Program) totals(c totalsCommand) error {
	_, state, err := readGame(c.Game)
	if err != nil {
		return cannotRead(c.Game, err)
	}
	totals := report.Count(state)
	if c.JSON {
		out := json.NewEncoder(p.Out)
		out.SetIndent("", "  ")
		return out.Encode(struct {
			Version int `json:"version"` // of this form
			report.Totals
		}{report.TotalsVersion, totals})
	}
	return p.words.writeTotals(p.Out, state, totals)
}

// writeTotals writes a table of both sides, and one of the players of each.
func (w words) writeTotals(to io.Writer, state rules.State, totals report.Totals) error {
	words := func(key string) string { return w.say("command.totals." + key) }
	home, visitors := totals.Sides[0], totals.Sides[1]
	table := tabwriter.NewWriter(to, 0, 0, 2, ' ', 0)
	row := func(cells ...any) {
		text := make([]string, len(cells))
		for i, cell := range cells {
			text[i] = fmt.Sprint(cell)
		}
		fmt.Fprintln(table, strings.Join(text, "\t"))
	}
	row("", home.Name, visitors.Name)
	for i, span := range state.Periods {
		if span.Begun {
			row(w.stageWords(span.Stage), home.GoalsByPeriod[i], visitors.GoalsByPeriod[i])
		}
	}
	row(words("goals"), home.Goals, visitors.Goals)
	row(words("power_play"), chances(home.PowerPlays), chances(visitors.PowerPlays))
	row(words("power_play_time"), home.PowerPlays.Time, visitors.PowerPlays.Time)
	row(words("short_handed"), home.ShortHanded.Goals, visitors.ShortHanded.Goals)
	row(words("empty_net"), home.EmptyNetGoals, visitors.EmptyNetGoals)
	row(words("penalties"), home.Penalties, visitors.Penalties)
	row(words("penalty_time"), home.PenaltyMinutes, visitors.PenaltyMinutes)
	for _, side := range totals.Sides {
		row()
		row(side.Name, words("player_goals"), words("assists"), words("points"), words("penalty_time"))
		for _, player := range side.Players {
			if player != (report.Player{Number: player.Number, Name: player.Name}) {
				row(w.playerWords(player.Number), player.Goals, player.Assists, player.Points, player.PenaltyMinutes)
			}
		}
	}
	return table.Flush()
}

// chances writes the goals of a power play out of its chances: 1/4.
func chances(a report.Advantage) string { return fmt.Sprintf("%d/%d", a.Goals, a.Chances) }

func (w words) playerWords(j entry.Jersey) string {
	if j == "" {
		return w.say("player.bench")
	}
	return string(j)
}
