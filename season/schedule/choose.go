package schedule

import (
	"cmp"
	"math"
	"slices"
)

// Of are the games of a team, a rink, or both; empty: any. A game that was called off
// is still one of the rink that it had: whoever follows the rink has to learn of it.
func Of(games []Game, team, rink string) []Game {
	var list []Game
	for _, g := range games {
		at := g.LastPlace()
		inRink := at != nil && at.Rink == rink
		if (team == "" || g.Home == team || g.Visitors == team) && (rink == "" || inRink) {
			list = append(list, g)
		}
	}
	return list
}

// ByTime are the games in the order in which they are played; those without a time
// come last.
func ByTime(games []Game) []Game {
	begin := func(g Game) int {
		if g.Place == nil {
			return math.MaxInt
		}
		return g.Place.Begin()
	}
	games = slices.Clone(games)
	slices.SortStableFunc(games, func(a, b Game) int { return cmp.Compare(begin(a), begin(b)) })
	return games
}

// Hard counts what cannot be.
func Hard(list []Conflict) (count int) {
	for _, c := range list {
		if c.Hard {
			count++
		}
	}
	return count
}
