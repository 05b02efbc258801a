package schedule

import (
	"math"

	"whistlestop/game/dice"
	"whistlestop/season/league"
)

// Settings of a search. The same league, settings and program make the same schedule.
type Settings struct {
	Seed  uint64
	Moves int // tried; nought: 60 for each game and each 100 slots, at least 100,000
	// Taken are ids of games of other schedules: what was said and played under one is not
	// of a game of this schedule. The numbers of each division go on behind them.
	Taken []string
}

// Plan is a schedule that was made.
type Plan struct {
	Games    []Game
	Unplaced int // games for which there was no ice without a clash
	Cost     int
	// Bound is what every schedule of these games on this ice costs at least: the
	// cheapest ice for each game where no two have the same, whoever plays. Cost
	// less Bound is the most that a better schedule could save.
	Bound int
	Moves int
}

// Make places the games of a league into its ice slots. It never makes a clash: a
// game that fits nowhere is left without a place, and the plan says so.
func Make(l league.League, s Settings) (Plan, error) {
	games, err := Games(l)
	if err != nil {
		return Plan{}, err
	}
	renumber(games, s.Taken)
	p := newProblem(l, games)
	if s.Moves == 0 {
		s.Moves = max(100_000, 60*len(games)*max(1, len(p.slots)/100))
	}
	b := newBoard(p)
	b.fill()
	b.anneal(s)
	b.dropClashes()
	plan := Plan{Games: games, Cost: b.total(), Bound: p.bound(), Moves: s.Moves}
	for g := range games {
		slot := b.at[g]
		if slot == none {
			plan.Unplaced++
			continue
		}
		on := p.slots[slot]
		games[g].State = Scheduled
		games[g].Place = &Place{Rink: l.Rinks[on.Rink].ID, Sheet: on.Sheet, Day: on.Day, Start: on.Start, Minutes: on.Minutes}
	}
	return plan, nil
}

const none = -1

// board is a schedule in the making.
type board struct {
	*problem
	at    []int   // of each game: its slot, or none
	holds []int   // of each slot: its game, or none
	plays [][]int // of each team: its games that have a slot
	dice  dice.Dice
}

func newBoard(p *problem) *board {
	b := &board{problem: p, at: make([]int, len(p.games)), holds: make([]int, len(p.slots)), plays: make([][]int, len(p.teams))}
	for g := range b.at {
		b.at[g] = none
	}
	for s := range b.holds {
		b.holds[s] = none
	}
	return b
}

// between is what two games cost that the same people cannot both be at. Minutes
// is the rest that they need, or nought for people who only have to be in two places.
func (p *problem) between(one, other league.Slot, rest limit, clash int) int {
	if other.Begin() < one.Begin() {
		one, other = other, one
	}
	gap := other.Begin() - one.End()
	switch {
	case gap < p.drive[one.Rink][other.Rink]:
		return clash
	case gap < rest.most:
		return rest.cost
	}
	return 0
}

// adding is what a game in a slot costs on top of all other games.
func (b *board) adding(game, slot int) int {
	on := b.slots[slot]
	sum := b.cost[game][slot] - costUnplaced
	for _, team := range b.sides[game] {
		sum += b.addingTo(team, game, on)
		for _, s := range b.shares[team] {
			for _, g := range b.plays[s.team] {
				if g != game && max(b.slots[b.at[g]].Day-on.Day, on.Day-b.slots[b.at[g]].Day) <= 1 {
					sum += b.between(on, b.slots[b.at[g]], limit{}, s.cost)
				}
			}
		}
	}
	return sum
}

// addingTo is what a game costs beside the other games of one of its teams.
func (b *board) addingTo(team, game int, on league.Slot) (sum int) {
	day, week := 0, 0
	for _, g := range b.plays[team] {
		if g == game {
			continue
		}
		other := b.slots[b.at[g]]
		sameWeek := other.Day.Week() == on.Day.Week()
		if !sameWeek && max(other.Day-on.Day, on.Day-other.Day) > 1 {
			continue
		}
		sum += b.between(on, other, b.rest, costClash)
		if other.Day == on.Day {
			day++
		}
		if sameWeek {
			week++
		}
	}
	if b.day.most > 0 && day >= b.day.most {
		sum += b.day.cost
	}
	if b.week.most > 0 && week >= b.week.most {
		sum += b.week.cost
	}
	return sum
}

func (b *board) put(game, slot int) {
	b.at[game], b.holds[slot] = slot, game
	for _, team := range b.sides[game] {
		b.plays[team] = append(b.plays[team], game)
	}
}

func (b *board) take(game int) {
	b.holds[b.at[game]], b.at[game] = none, none
	for _, team := range b.sides[game] {
		list := b.plays[team]
		for i, g := range list {
			if g == game {
				list[i] = list[len(list)-1]
				b.plays[team] = list[:len(list)-1]
				break
			}
		}
	}
}

// fill gives each game the cheapest free slot, in the order of the games.
func (b *board) fill() {
	for g := range b.games {
		best, least := none, 0
		for _, m := range b.may[g] {
			if b.holds[m.slot] != none || m.cost-costUnplaced >= least {
				continue
			}
			if c := b.adding(g, m.slot); c < least {
				best, least = m.slot, c
			}
		}
		if best != none {
			b.put(g, best)
		}
	}
}

// anneal moves games one at a time, also to where another one is, and takes a worse
// schedule the more seldom the longer it went on.
func (b *board) anneal(s Settings) {
	if len(b.games) == 0 || len(b.slots) == 0 {
		return
	}
	b.dice = dice.Dice(s.Seed)
	cost := b.total()
	best, least := append([]int(nil), b.at...), cost
	const hot, cold = 60.0, 0.3 // points
	heat := hot
	cool := math.Pow(cold/hot, 1/float64(max(1, s.Moves)))
	for range s.Moves {
		heat *= cool
		delta, undo := b.try()
		if delta > 0 && b.dice.Share() >= math.Exp(-float64(delta)/heat) {
			undo()
			continue
		}
		cost += delta
		if cost < least {
			least = cost
			copy(best, b.at)
		}
	}
	for g := range b.at {
		if b.at[g] != none {
			b.take(g)
		}
	}
	for g, slot := range best {
		if slot != none {
			b.put(g, slot)
		}
	}
}

// try moves a game to another of its slots, the cheap ones more often. Whichever
// game was there takes its place, or is left without one.
func (b *board) try() (delta int, undo func()) {
	game := b.dice.Below(len(b.games))
	may := b.may[game]
	if len(may) == 0 {
		return 0, func() {}
	}
	u := b.dice.Share()
	to := may[int(u*u*float64(len(may)))].slot
	from, other := b.at[game], b.holds[to]
	if from == to {
		return 0, func() {}
	}
	if from != none {
		delta -= b.adding(game, from)
		b.take(game)
	}
	if other != none {
		delta -= b.adding(other, to)
		b.take(other)
	}
	delta += b.adding(game, to)
	b.put(game, to)
	swapped := false
	if other != none && from != none {
		if _, ok := b.cost[other][from]; ok {
			if c := b.adding(other, from); c < 0 {
				delta += c
				b.put(other, from)
				swapped = true
			}
		}
	}
	return delta, func() {
		if swapped {
			b.take(other)
		}
		b.take(game)
		if other != none {
			b.put(other, to)
		}
		if from != none {
			b.put(game, from)
		}
	}
}

// total is what the schedule costs.
func (b *board) total() int {
	sum := 0
	kept := append([]int(nil), b.at...)
	again := newBoard(b.problem)
	for g, slot := range kept {
		sum += costUnplaced
		if slot != none {
			sum += again.adding(g, slot)
			again.put(g, slot)
		}
	}
	return sum
}

// dropClashes takes the ice from games that clash, so that a finished schedule has
// none; the search leaves hardly any.
func (b *board) dropClashes() {
	for g := range b.games {
		if slot := b.at[g]; slot != none {
			if b.adding(g, slot) >= costClash-costUnplaced {
				b.take(g)
			}
		}
	}
}
