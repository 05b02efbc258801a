package tally

import (
	"maps"
	"slices"

	"whistlestop/game/dates"
	"whistlestop/season/schedule"
)

// Until is the season as it stood at the end of a day: games after it are still to
// come, and points that the league took later are not taken yet.
func (t *Tally) Until(day dates.Day) (*Tally, error) {
	var games []schedule.Game
	for _, id := range t.order {
		games = append(games, t.games[id].Game)
	}
	d := t.given
	d.Points = nil
	for _, p := range t.given.Points {
		if p.On == nil || *p.On <= day {
			d.Points = append(d.Points, p)
		}
	}
	later := func(id string) bool {
		g, known := t.games[id]
		return known && g.Place != nil && g.Place.Day > day
	}
	d.Results, d.Forfeits = nil, nil
	for _, one := range t.given.Results {
		if !later(one.Game) {
			d.Results = append(d.Results, one)
		}
	}
	for _, one := range t.given.Forfeits {
		if !later(one.Game) {
			d.Forfeits = append(d.Forfeits, one)
		}
	}
	out, err := New(t.league, games, d)
	if err != nil {
		return nil, err
	}
	for _, ledger := range slices.Sorted(maps.Keys(t.reports)) {
		if f := t.reports[ledger]; !later(t.belongs[ledger]) {
			out.Put(t.people.whole(f))
		}
	}
	return out, nil
}
