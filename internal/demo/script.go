package demo

import "whistlestop/game/entry"

// whistle is a stoppage of the invented game: where on the clock, and what was
// posted at it. A whistle with a name is one of the moments.
type whistle struct {
	at    entry.Millis // elapsed in the period
	name  string
	posts [][]entry.Body // each posted together
}

// WarmUp is the moment at which nothing has happened: the game is open, with
// both rosters.
const WarmUp = "warm-up"

// game is the whole invented game, period by period, as far as it is told.
// Regulation is followed by overtime.
var game = [][]whistle{
	{
		{at: entry.Clock(1, 48)},
		{at: entry.Clock(3, 12), posts: one(goal(entry.Visitors, "9", "10"))},
		{at: entry.Clock(5, 40), posts: one(goal(entry.Home, "12", "7", "9"))},
		{at: entry.Clock(7, 5), posts: one(minor(entry.Visitors, "6", "tripping"))},
		{at: entry.Clock(7, 31), name: "power-play"},
		{at: entry.Clock(8, 2), posts: one(goal(entry.Home, "9", "17", "12"))},
		{at: entry.Clock(9, 55)},
		{at: entry.Clock(11, 10), posts: one(minor(entry.Home, "24", "interference"))},
	},
	{
		{at: entry.Clock(0, 58)},
		{at: entry.Clock(2, 20), posts: one(goal(entry.Visitors, "13", "19"))},
		{at: entry.Clock(4, 48), posts: one(
			minor(entry.Home, "7", "roughing"),
			minor(entry.Visitors, "10", "roughing"),
			minor(entry.Visitors, "25", "slashing"),
		)},
		{at: entry.Clock(5, 2), name: "coincidental"},
		{at: entry.Clock(7, 30), posts: one(goal(entry.Home, "8"))},
		{at: entry.Clock(9, 12)},
		{at: entry.Clock(11, 25), posts: one(minor(entry.Home, "17", "hooking"))},
	},
	{
		{at: entry.Clock(0, 14), posts: one(minor(entry.Visitors, "19", "holding"))},
		{at: entry.Clock(0, 27), name: "third-period"},
		{at: entry.Clock(3, 33), posts: one(goal(entry.Visitors, "9", "10", "6"))},
		{at: entry.Clock(6, 40), posts: one(entry.TimeOut{Side: entry.Visitors, Length: entry.Clock(1, 0)})},
		{at: entry.Clock(10, 58)},
	},
	{
		{at: entry.Clock(0, 41)},
		{at: entry.Clock(1, 12), posts: one(minor(entry.Home, "4", "tripping"))},
		{at: entry.Clock(1, 36), name: "overtime"},
	},
}

// Moments lists the names of the moments, in the order of the game.
func Moments() []string {
	names := []string{WarmUp}
	for _, period := range game {
		for _, w := range period {
			if w.name != "" {
				names = append(names, w.name)
			}
		}
	}
	return names
}

// one is a stoppage at which everything was posted together.
func one(bodies ...entry.Body) [][]entry.Body { return [][]entry.Body{bodies} }

func goal(side entry.Side, scorer entry.Jersey, assists ...entry.Jersey) entry.Body {
	return entry.Goal{Side: side, Scorer: scorer, Assists: assists, Unassisted: len(assists) == 0}
}

func minor(side entry.Side, player entry.Jersey, call string) entry.Body {
	return entry.Penalty{Side: side, Player: player, Call: call, Parts: []entry.Part{entry.Minor}}
}
