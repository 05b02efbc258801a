package book

import (
	"cmp"
	"slices"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/season/results"
	"whistlestop/season/schedule"
	"whistlestop/season/tally"
)

// People are the numbers by which everybody may know the people of a season.
type People struct {
	numbers map[[2]string]entry.Jersey // by team and name, the newest sheet's
	gone    map[[2]string]bool         // by team and "#" and number
}

// PeopleOf reads the numbers from the reports of a season's games, by ledger.
func PeopleOf(s tally.Season, facts func(ledger string) (results.Facts, bool)) People {
	p := People{numbers: map[[2]string]entry.Jersey{}, gone: map[[2]string]bool{}}
	games := slices.Clone(s.Games)
	slices.SortStableFunc(games, func(a, b tally.Game) int { return cmp.Compare(begin(a.Game), begin(b.Game)) })
	for _, g := range games {
		if g.Result == nil {
			continue
		}
		one, known := facts(g.Result.Ledger)
		if !known {
			continue
		}
		for side, team := range []string{g.Home, g.Visitors} {
			for _, listed := range one.Sheet[side] {
				p.numbers[[2]string{team, listed.Who}] = listed.Number
			}
			for _, number := range one.Withdrawn[side] {
				p.gone[[2]string{team, "#" + string(number)}] = true
			}
		}
	}
	return p
}

// Number is what everybody may call somebody of a team: the number, and nothing of
// whoever was taken out of a game.
func (p People) Number(team, name string) string {
	text := name
	if number := p.numbers[[2]string{team, name}]; number != "" {
		text = "#" + string(number)
	}
	if !strings.HasPrefix(text, "#") || p.gone[[2]string{team, text}] {
		return entry.TakenOut
	}
	return text
}

// begin orders games by time.
func begin(g schedule.Game) int {
	if at := g.LastPlace(); at != nil {
		return at.Begin()
	}
	return 0
}
