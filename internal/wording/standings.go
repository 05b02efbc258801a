package wording

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"whistlestop/game/message"
	"whistlestop/season/standings"
	"whistlestop/season/suspensions"
	"whistlestop/season/tally"
)

// PlaceOf is a team's line of a table that no league has.
func PlaceOf(p standings.Placed) tally.Place {
	r := p.Row
	return tally.Place{
		Team: string(p.Team), Name: string(p.Team), Place: p.Place, Equal: p.Equal, Played: r.Played, Points: r.Points,
		Won: r.Wins(), WonIn: [3]int{r.RegulationWins, r.OvertimeWins, r.ShootOutWins}, Drawn: r.Draws,
		Lost: r.Losses(), LostIn: [3]int{r.RegulationLosses, r.OvertimeLosses, r.ShootOutLosses},
		For: r.GoalsFor, Against: r.GoalsAgainst, Minutes: r.PenaltyMinutes,
	}
}

// Places are the lines of a table as rows, under titles.
func Places(w Words, list []tally.Place) [][]string {
	rows := [][]string{titles(w, "command.standings.", "place", "team", "played", "wins", "late_wins", "draws", "losses", "late_losses", "goals", "points")}
	pair := func(one, other int) string { return fmt.Sprintf("%d, %d", one, other) }
	for _, p := range list {
		rows = append(rows, []string{
			strconv.Itoa(p.Place), p.Name, strconv.Itoa(p.Played), strconv.Itoa(p.Won), pair(p.WonIn[1], p.WonIn[2]), strconv.Itoa(p.Drawn),
			strconv.Itoa(p.Lost), pair(p.LostIn[1], p.LostIn[2]), fmt.Sprintf("%d-%d", p.For, p.Against), strconv.Itoa(p.Points),
		})
	}
	return rows
}

// Ties say why each two neighbours of a table that no league has stand as they do,
// and who is equal.
func Ties(w Words, table standings.Table) []string {
	name := func(team standings.Team) string { return string(team) }
	return slices.Concat(
		says(w, table.Why(), func(r standings.Reason) message.Say { return r.Say(name) }),
		says(w, table.Equal, func(teams []standings.Team) message.Say { return standings.SayEqual(teams, name) }))
}

// Division heads a division's table. A table follows where it is ranked.
func Division(w Words, d tally.Division) []string {
	lines := []string{Say(w, "command.season.division", "division", d.Name, "played", strconv.Itoa(d.Played), "to_come", strconv.Itoa(d.ToCome))}
	if !d.Ranked {
		lines = append(lines, Say(w, "command.season.not_ranked"))
	}
	return lines
}

// Reasons say which points the league gave or took away, why neighbours stand as they
// do, and who is equal.
func Reasons(w Words, d tally.Division) []string {
	var lines []string
	for _, p := range d.Places {
		if p.Taken != 0 {
			lines = append(lines, Say(w, "command.season.taken", "team", p.Name, "points", signed(p.Taken), "why", strings.Join(p.TakenWhys, "; ")))
		}
	}
	return slices.Concat(lines,
		says(w, d.Reasons, func(r message.Say) message.Say { return r }),
		says(w, d.Equal, func(one tally.Equal) message.Say { return one.Say }))
}

// Chances say where each team may still end.
func Chances(w Words, list []tally.Chance) []string {
	return says(w, list, func(c tally.Chance) message.Say { return c.Say })
}

// SeasonFindings say what of a season does not fit together.
func SeasonFindings(w Words, list []tally.Finding) []string {
	return says(w, list, func(f tally.Finding) message.Say { return f.Say })
}

// Changes say what is different for people.
func Changes(w Words, list []tally.Change) []string {
	return says(w, list, func(c tally.Change) message.Say { return c.Say })
}

// Suspensions say what everybody earned, which games it took and takes, and what is
// owed.
func Suspensions(w Words, s tally.Season) []string {
	names, lines := TeamNames(s), []string(nil)
	if len(s.Suspensions) == 0 {
		lines = append(lines, Say(w, "command.suspended.none"))
	}
	for _, one := range s.Suspensions {
		lines = append(lines, suspension(w, one, Say(w, "command.season.person", "who", one.Name, "team", names[one.Team]))...)
	}
	lines = append(lines, SeasonFindings(w, s.Findings)...)
	if s.AtLeast {
		lines = append(lines, Say(w, "command.suspended.least"))
	}
	return lines
}

func suspension(w Words, one tally.Suspension, who string) (lines []string) {
	say := func(key string, pairs ...string) { lines = append(lines, Say(w, key, pairs...)) }
	if one.Ruling {
		say("command.season.ruling", "who", who, "why", one.Why, "game", one.Game)
	} else {
		say("command.season.earned", "who", who, "games", strconv.Itoa(one.Games), "why", one.Why, "game", one.Game)
	}
	for _, served := range one.Served {
		key := "command.season.served"
		if !served.Listed {
			key = "command.season.served_unlisted"
		}
		say(key, "game", served.Game, "number", strconv.Itoa(served.Number))
	}
	for _, next := range one.Next {
		say("command.season.next", "game", next)
	}
	if one.Owed > 0 {
		say("command.season.owed", "games", strconv.Itoa(one.Owed))
	}
	return lines
}

// Earned says what of a folder of games without a league was earned and is owed.
func Earned(w Words, r suspensions.Result) (lines []string) {
	say := func(key string, pairs ...string) { lines = append(lines, Say(w, key, pairs...)) }
	if len(r.Earned) == 0 {
		say("command.suspended.none")
	}
	for _, one := range r.Earned {
		if one.Ruling {
			say("command.suspended.ruling", "who", one.Who, "why", one.Why)
			continue
		}
		say("command.suspended.earned", "who", one.Who, "games", strconv.Itoa(one.Games), "why", one.Why)
	}
	for _, who := range slices.Sorted(maps.Keys(r.Owed)) {
		say("command.suspended.owed", "who", who, "games", strconv.Itoa(r.Owed[who]))
	}
	say("command.suspended.least")
	return lines
}

// Out says who must miss a game.
func Out(w Words, game string, list []tally.Out) []string {
	var lines []string
	if len(list) == 0 {
		lines = append(lines, Say(w, "command.season.nobody_out", "game", game))
	}
	for _, one := range list {
		key := "command.season.out"
		if one.Number == 0 {
			key = "command.season.out_meanwhile"
		}
		lines = append(lines, Say(w, key, "who", one.Name, "why", one.Why, "game", one.Game, "number", strconv.Itoa(one.Number), "games", strconv.Itoa(one.Games)))
	}
	return append(lines, Say(w, "command.suspended.least"))
}

// TeamNames are the names of a season's teams by their ids.
func TeamNames(s tally.Season) map[string]string {
	names := map[string]string{}
	for _, d := range s.Divisions {
		for _, p := range d.Places {
			names[p.Team] = p.Name
		}
	}
	return names
}
