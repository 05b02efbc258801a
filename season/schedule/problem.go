package schedule

import (
	"slices"

	"whistlestop/game/dates"
	"whistlestop/season/league"
)

// What a schedule costs, in points. Only their proportion matters; they are ours.
const (
	costUnplaced = 1000 // a game without ice
	costClash    = 4000 // two games that cannot both be: never in a finished schedule
	costWish     = 20   // a limit that is a wish, each time
	costFarDay   = 1    // each day before or after the week of the game's round
	costNotHome  = 15   // not in the home team's rink
)

// problem is a league with its games, made small for the search.
type problem struct {
	league league.League
	games  []Game
	slots  []league.Slot
	sides  [][2]int  // of each game: its teams, by number
	may    [][]place // of each game: the slots it may have, the cheapest first
	cost   []map[int]int
	shares [][]share // of each team: others with the same people
	teams  []string
	rest   limit
	day    limit
	week   limit
	drive  [][]int
}

type place struct{ slot, cost int }

type share struct {
	team int
	cost int
}

// limit is a number that is kept, and what it costs where it is not.
type limit struct{ most, cost int }

func newProblem(l league.League, games []Game) *problem {
	p := &problem{league: l, games: games, slots: l.Slots()}
	number := map[string]int{}
	for _, d := range l.Divisions {
		for _, t := range d.Teams {
			number[t.ID] = len(p.teams)
			p.teams = append(p.teams, t.ID)
		}
	}
	p.shares = make([][]share, len(p.teams))
	for _, s := range l.Shared {
		cost := costWish
		if s.Hard {
			cost = costClash
		}
		for _, one := range s.Teams {
			for _, other := range s.Teams {
				if one != other {
					p.shares[number[one]] = append(p.shares[number[one]], share{number[other], cost})
				}
			}
		}
	}
	kept := func(name string, most int) limit {
		if slices.Contains(l.Limits.Wishes, name) {
			return limit{most, costWish}
		}
		return limit{most, costClash}
	}
	p.rest, p.day, p.week = kept(league.LimitRest, l.Limits.RestMinutes), kept(league.LimitDay, l.Limits.GamesADay), kept(league.LimitWeek, l.Limits.GamesAWeek)
	p.drive = make([][]int, len(l.Rinks))
	for i, from := range l.Rinks {
		p.drive[i] = make([]int, len(l.Rinks))
		for j, to := range l.Rinks {
			p.drive[i][j] = max(from.Drive[to.ID], to.Drive[from.ID])
		}
	}
	for _, d := range l.Divisions {
		p.divide(d, number)
	}
	return p
}

// divide works out for each game of a division where it may be, and at what cost.
func (p *problem) divide(d league.Division, number map[string]int) {
	rounds := 0
	for _, g := range p.games {
		if g.Division == d.ID {
			rounds = max(rounds, g.Round)
		}
	}
	teams := map[string]league.Team{}
	for _, t := range d.Teams {
		teams[t.ID] = t
	}
	for _, g := range p.games {
		if g.Division != d.ID {
			continue
		}
		home, visitors := teams[g.Home], teams[g.Visitors]
		first, last := roundDays(p.league, d, g.Round, rounds)
		var may []place
		cost := map[int]int{}
		for i, slot := range p.slots {
			if !open(d, slot) || away(home, slot.Day) || away(visitors, slot.Day) {
				continue
			}
			c := costFarDay * int(max(first-slot.Day, slot.Day-last, 0))
			if home.Home != "" && p.league.Rinks[slot.Rink].ID != home.Home {
				c += costNotHome
			}
			may = append(may, place{i, c})
			cost[i] = c
		}
		slices.SortStableFunc(may, func(a, b place) int { return a.cost - b.cost })
		p.may, p.cost = append(p.may, may), append(p.cost, cost)
		p.sides = append(p.sides, [2]int{number[g.Home], number[g.Visitors]})
	}
}

// roundDays is the first and the last day on which a game of a round costs nothing:
// the division's days in equal parts, each at least a week.
func roundDays(l league.League, d league.Division, round, rounds int) (first, last dates.Day) {
	from, to := days(l, d)
	span := int(to-from) + 1
	first = from + dates.Day(span*(round-1)/rounds)
	last = from + dates.Day(span*round/rounds) - 1
	if short := 7 - int(last-first+1); short > 0 {
		first, last = first-dates.Day(short/2), last+dates.Day(short-short/2)
	}
	return first, last
}

func days(l league.League, d league.Division) (from, to dates.Day) {
	from, to = l.From, l.To
	if d.From != nil {
		from = max(from, *d.From)
	}
	if d.To != nil {
		to = min(to, *d.To)
	}
	return from, to
}

// open reports whether a division's game may be in a slot, whoever plays.
func open(d league.Division, s league.Slot) bool {
	switch {
	case s.Minutes < d.Minutes,
		len(s.For) > 0 && !slices.Contains(s.For, d.ID),
		d.From != nil && s.Day < *d.From, d.To != nil && s.Day > *d.To,
		d.Earliest != nil && s.Start < *d.Earliest,
		d.LatestEnd != nil && int(s.Start)+d.Minutes > int(*d.LatestEnd),
		len(d.Weekdays) > 0 && !slices.Contains(d.Weekdays, dates.Weekday(s.Day.Weekday())):
		return false
	}
	return !covered(d.HeldFree, s.Day)
}

func away(t league.Team, day dates.Day) bool { return covered(t.Away, day) }

func covered(spans []league.Span, day dates.Day) bool {
	return slices.ContainsFunc(spans, func(s league.Span) bool { return s.Covers(day) })
}
