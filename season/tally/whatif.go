package tally

import (
	"maps"
	"slices"
	"strconv"

	"whistlestop/game/message"
	"whistlestop/season/league"
	"whistlestop/season/schedule"
	"whistlestop/season/standings"
)

// Pick is a result that somebody picked for a game to come.
type Pick struct {
	Game  string        `json:"game"`
	Goals [2]int        `json:"goals"` // home, visitors
	How   standings.How `json:"how"`   // reg, ot, so
}

// WhatIf is the season as it would stand with the picked results.
func (t *Tally) WhatIf(picks []Pick) (*Tally, error) {
	d := t.given
	d.Results = slices.Clone(d.Results)
	for _, pick := range picks {
		g, known := t.games[pick.Game]
		if !known || !g.toCome() {
			return nil, message.New("tally.pick_game", "game", message.Plain(pick.Game))
		}
		one := standings.Game{ID: pick.Game, Home: "home", Away: "visitors", HomeGoals: pick.Goals[0], AwayGoals: pick.Goals[1], How: pick.How}
		if err := one.Validate(); err != nil {
			return nil, err
		}
		if t.inDiv[g.Division].drawn(pick.Goals, pick.How) {
			return nil, message.New("tally.pick_draw", "game", message.Plain(pick.Game))
		}
		d.Results = append(d.Results, league.Typed{Game: pick.Game, Home: pick.Goals[0], Visitors: pick.Goals[1], How: pick.How})
	}
	var games []schedule.Game
	for _, id := range t.order {
		games = append(games, t.games[id].Game)
	}
	out, err := New(t.league, games, d)
	if err != nil {
		return nil, err
	}
	for _, ledger := range slices.Sorted(maps.Keys(t.reports)) {
		out.Put(t.people.whole(t.reports[ledger]))
	}
	return out, nil
}

// drawn says whether a result is a draw where the league has none.
func (d *division) drawn(goals [2]int, how standings.How) bool {
	return d.ranking != nil && d.ranking.NoDraws && how == standings.Regulation && goals[0] == goals[1]
}

// Answer says whether something is certain.
type Answer string

// The answers: what is not decided is not known to be either.
const (
	Yes        Answer = "yes"
	No         Answer = "no"
	Possible   Answer = "possible"
	NotDecided Answer = "not_decided" // the search came to its limit, or goals to come decide
)

// Chance is where a team may still end, whatever the results of the games to come.
type Chance struct {
	Team       string      `json:"team"`
	Name       string      `json:"name"`
	Best       int         `json:"best"`
	Worst      int         `json:"worst"`
	BestExact  bool        `json:"best_exact"`
	WorstExact bool        `json:"worst_exact"`
	First      Answer      `json:"first"`             // cannot be caught: yes; cannot be first any more: no
	Through    Answer      `json:"through,omitempty"` // goes on, where the division says how many do
	Say        message.Say `json:"say"`
}

// Chances says where each team of a division may still end. Moves is how much is
// tried; nought: the usual.
func (t *Tally) Chances(id string, moves int) ([]Chance, error) {
	d, known := t.inDiv[id]
	if !known || d.running == nil {
		return nil, message.New("tally.not_ranked", "division", message.Plain(id))
	}
	var teams []standings.Team
	for _, in := range d.Teams {
		teams = append(teams, standings.Team(in.ID))
	}
	var games []standings.Game
	var open []standings.Open
	for _, gameID := range d.games {
		switch g := t.games[gameID]; {
		case g.result != nil && g.result.Counts:
			counted, _ := d.running.Game(gameID)
			games = append(games, counted)
		case g.toCome():
			open = append(open, standings.Open{ID: gameID, Home: standings.Team(g.Home), Away: standings.Team(g.Visitors)})
		}
	}
	fresh := division{Division: d.Division, ranking: d.ranking, minutes: map[standings.Team]int{}}
	given := t.givenOf(&fresh)
	given.Minutes = d.minutes
	list, err := standings.Chances(teams, games, open, d.ranking.Rules(), given, standings.Outlook{NoDraws: d.ranking.NoDraws, Moves: moves})
	if err != nil {
		return nil, err
	}
	out := make([]Chance, len(list))
	for i, c := range list {
		out[i] = t.chance(c, d)
	}
	slices.SortStableFunc(out, func(a, b Chance) int { return a.Best + a.Worst - b.Best - b.Worst })
	return out, nil
}

func (t *Tally) chance(c standings.Chance, d *division) Chance {
	out := Chance{
		Team: string(c.Team), Name: t.teamName(string(c.Team)), Best: c.Best, Worst: c.Worst,
		BestExact: c.BestExact, WorstExact: c.WorstExact, First: within(c, 1),
	}
	key := "tally.chance"
	if d.Through > 0 {
		out.Through = within(c, d.Through)
		key = "tally.chance_" + string(out.Through)
	}
	if !c.BestExact || !c.WorstExact {
		key = "tally.chance_not_decided"
	}
	out.Say = message.Say{Key: key, Args: message.Pairs("team", out.Name, "best", strconv.Itoa(c.Best), "worst", strconv.Itoa(c.Worst), "through", strconv.Itoa(d.Through))}
	return out
}

// within answers whether a team ends among the first so many.
func within(c standings.Chance, places int) Answer {
	switch {
	case c.WorstExact && c.Worst <= places:
		return Yes
	case c.BestExact && c.Best > places:
		return No
	case c.Best <= places && c.Worst > places: // results were found for both
		return Possible
	}
	return NotDecided
}
