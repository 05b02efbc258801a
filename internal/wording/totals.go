package wording

import (
	"fmt"
	"strconv"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/record/report"
)

// Stage names a stage of a game.
func Stage(w Words, s entry.Stage) string {
	return Say(w, "stage."+string(s.Kind)+"."+strconv.Itoa(s.Number))
}

// Totals are the official totals of a game as rows: one table of both sides, and
// below it, each after an empty row, one of the players of each.
func Totals(w Words, state rules.State, totals report.Totals) [][]string {
	say := func(key string) string { return Say(w, "command.totals."+key) }
	home, visitors := totals.Sides[0], totals.Sides[1]
	rows := [][]string{{"", home.Name, visitors.Name}}
	add := func(cells ...any) { rows = append(rows, row(cells...)) }
	for i, span := range state.Periods {
		if span.Begun {
			add(Stage(w, span.Stage), home.GoalsByPeriod[i], visitors.GoalsByPeriod[i])
		}
	}
	add(say("goals"), home.Goals, visitors.Goals)
	add(say("power_play"), chances(home.PowerPlays), chances(visitors.PowerPlays))
	add(say("power_play_time"), home.PowerPlays.Time, visitors.PowerPlays.Time)
	add(say("short_handed"), home.ShortHanded.Goals, visitors.ShortHanded.Goals)
	add(say("empty_net"), home.EmptyNetGoals, visitors.EmptyNetGoals)
	add(say("penalties"), home.Penalties, visitors.Penalties)
	add(say("penalty_time"), home.PenaltyMinutes, visitors.PenaltyMinutes)
	for _, side := range totals.Sides {
		add()
		add(side.Name, say("player_goals"), say("assists"), say("points"), say("penalty_time"))
		for _, player := range side.Players {
			if player != (report.Player{Number: player.Number, Name: player.Name}) {
				add(number(w, player.Number), player.Goals, player.Assists, player.Points, player.PenaltyMinutes)
			}
		}
	}
	return rows
}

// chances writes the goals of a power play out of its chances: 1/4.
func chances(a report.Advantage) string { return fmt.Sprintf("%d/%d", a.Goals, a.Chances) }

// number is whose line it is: a number, or the bench.
func number(w Words, j entry.Jersey) string {
	if j == "" {
		return Say(w, "player.bench")
	}
	return string(j)
}
