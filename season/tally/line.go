package tally

import (
	"slices"
	"strings"

	"whistlestop/game/message"
	"whistlestop/season/standings"
)

// Counted is a game in a team's line of the table, with what it adds to the line.
type Counted struct {
	Game string
	Row  standings.Row // its goals are cut where the league cuts them
}

// Line lists the games that a team's line of the table counts, by time: their rows and
// the points that the league gave or took add up to the line.
func (t *Tally) Line(team string) []Counted {
	in, known := t.teams[team]
	if !known || in.division.running == nil {
		return nil
	}
	var list []Counted
	for _, id := range t.byTime(in.games) {
		if counted, is := in.division.running.Game(id); is {
			list = append(list, Counted{Game: id, Row: in.division.ranking.Rules().RowOf(counted, standings.Team(team))})
		}
	}
	return list
}

// Tie is two neighbours of a table who were equal, and what parted them.
type Tie struct {
	Say   message.Say
	Games []string // that the step looked at, by time; all of the two teams where it looked at the whole table
}

// Ties says what parted a team from its neighbours of the table, where it was equal
// with them.
func (t *Tally) Ties(team string) []Tie {
	in, known := t.teams[team]
	if !known || in.division.running == nil {
		return nil
	}
	var list []Tie
	name := func(team standings.Team) string { return t.teamName(string(team)) }
	for _, why := range in.division.running.Table().Why() {
		if string(why.Above) == team || string(why.Below) == team {
			list = append(list, Tie{Say: why.Say(name), Games: t.looked(in.division, why)})
		}
	}
	return list
}

// looked are the games that a step looked at: those among the teams that it parted,
// or all games of the two neighbours.
func (t *Tally) looked(d *division, why standings.Reason) []string {
	of := func(team string) bool { return team == string(why.Above) || team == string(why.Below) }
	among := func(team string) bool { return slices.Contains(why.Among, standings.Team(team)) }
	var games []string
	for _, id := range t.byTime(d.games) {
		g := t.games[id]
		if g.result == nil || !g.result.Counts {
			continue
		}
		if why.Step.Direct && among(g.Home) && among(g.Visitors) || !why.Step.Direct && (of(g.Home) || of(g.Visitors)) {
			games = append(games, id)
		}
	}
	return games
}

// byTime is games by when they are.
func (t *Tally) byTime(ids []string) []string {
	ids = slices.Clone(ids)
	slices.SortStableFunc(ids, func(a, b string) int { return strings.Compare(t.games[a].when+" "+a, t.games[b].when+" "+b) })
	return ids
}
