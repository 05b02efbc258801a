package rota

import (
	"slices"

	"whistlestop/game/dice"
)

// What a part that is made anew may be, and how long it is looked at: by measuring, ours.
const (
	partLeast = 9   // slots
	partMost  = 27  // slots
	partSteps = 40  // parts of its proof
	longSteps = 120 // the same where there are several searches
	joinSteps = 400 // the same of what lies between two rotas
	partCap   = 2   // duties more than before that a person may get in one go
)

// mending is a rota of which a part at a time is made anew while the rest stays.
type mending struct {
	p       Problem
	who     []int
	games   [][]int // slots of each game
	days    [][]int // games of each day that has a slot to change
	held    [][]int // slots of each person
	members [][]int // people of each family
	random  dice.Dice
	queue   buckets // of the parts, one after the other
}

// parts is how long each part is looked at, and all of them.
type parts struct{ steps, effort int }

// mend makes parts of a rota anew by flow and proof, as long as the effort lasts, and
// returns a rota that is not dearer. Effort counts arcs that were looked at.
func mend(p Problem, who []int, seed uint64, by parts, tell func(done, all int)) []int {
	m := beginMending(p, who, seed)
	for done := 0; len(m.days) > 0 && done < by.effort; {
		done += m.part(m.choose(), by.steps)
		tell(min(done, by.effort), by.effort)
	}
	return m.who
}

// joined is a rota made of several: whatever two of them agree on stays, and the games at
// which they differ are made anew. It is not dearer than any of them.
func joined(p Problem, found [][]int) []int {
	best := slices.MinFunc(found, func(a, b []int) int { return p.Cost(a) - p.Cost(b) })
	for cheaper := len(found) > 1; cheaper; {
		cheaper = false
		for _, other := range found {
			m := beginMending(p, best, 0)
			var games []int
			for g, slots := range m.games {
				if slices.ContainsFunc(slots, func(s int) bool { return best[s] != other[s] }) {
					games = append(games, g)
				}
			}
			if len(games) == 0 {
				continue
			}
			before := p.Cost(best)
			m.part(games, joinSteps)
			best = m.who
			cheaper = cheaper || p.Cost(best) < before
		}
	}
	return best
}

// beginMending lays out a rota of which parts are made anew.
func beginMending(p Problem, who []int, seed uint64) *mending {
	m := &mending{p: p, who: slices.Clone(who), games: make([][]int, len(p.Games)), held: make([][]int, len(p.People)),
		members: make([][]int, len(p.Families)), random: dice.Dice(seed)}
	for s, slot := range p.Slots {
		m.games[slot.Game] = append(m.games[slot.Game], s)
		if who[s] != Nobody {
			m.held[who[s]] = append(m.held[who[s]], s)
		}
	}
	for i, person := range p.People {
		m.members[person.Family] = append(m.members[person.Family], i)
	}
	byDay := map[int]int{}
	for g, slots := range m.games {
		if !slices.ContainsFunc(slots, func(s int) bool { return !p.Slots[s].Fixed && len(p.Slots[s].Candidates) > 0 }) {
			continue
		}
		at, known := byDay[p.Games[g].Day]
		if !known {
			at = len(m.days)
			byDay[p.Games[g].Day] = at
			m.days = append(m.days, nil)
		}
		m.days[at] = append(m.days[at], g)
	}
	return m
}

// choose is a part: whole games, because a learner and a guide are of one game. They
// are of a few days, or those at which a few people are.
func (m *mending) choose() []int {
	size := partLeast + m.random.Below(partMost-partLeast+1)
	var part []int
	chosen, count := map[int]bool{}, 0
	add := func(game int) {
		if !chosen[game] && len(m.games[game]) > 0 {
			chosen[game] = true
			part = append(part, game)
			count += len(m.games[game])
		}
	}
	byPeople := m.random.Below(2) == 0
	for tries := 0; count < size && tries < 4*size; tries++ {
		if byPeople {
			if held := m.held[m.random.Below(len(m.held))]; len(held) > 0 {
				for _, s := range held {
					add(m.p.Slots[s].Game)
				}
			} else if len(m.p.Slots) > 0 {
				add(m.p.Slots[m.random.Below(len(m.p.Slots))].Game)
			}
			continue
		}
		day := m.days[m.random.Below(len(m.days))]
		from := m.random.Below(len(day))
		for i := range day {
			if add(day[(from+i)%len(day)]); count >= size {
				break
			}
		}
	}
	return part
}

// part makes some games anew and says how much effort that took.
func (m *mending) part(games []int, steps int) int {
	slots := m.slots(games)
	sub := m.problem(slots)
	was := make([]int, len(slots))
	for i, s := range slots {
		was[i] = m.who[s]
	}
	n := build(sub)
	n.queue = m.queue
	n.solve()
	r := Rota{Who: slices.Clone(was), Flow: base(sub) + n.total()}
	// One that costs the same is taken too: from there another part may get cheaper.
	before := sub.Cost(was)
	r.Cost, r.Bound = before+1, r.Flow
	if r.Flow <= before {
		prove(sub, n, &r, steps)
	}
	m.queue = n.queue
	if r.Cost <= before {
		m.take(slots, r.Who)
	}
	return *n.effort + len(n.to)
}

func (m *mending) slots(games []int) []int {
	var slots []int
	for _, g := range games {
		slots = append(slots, m.games[g]...)
	}
	return slots
}

// take gives slots to other people.
func (m *mending) take(slots, who []int) {
	for i, s := range slots {
		if was := m.who[s]; was != Nobody {
			held := m.held[was]
			m.held[was] = slices.Delete(held, slices.Index(held, s), slices.Index(held, s)+1)
		}
		if m.who[s] = who[i]; who[i] != Nobody {
			m.held[who[i]] = append(m.held[who[i]], s)
		}
	}
}

// problem is that of some slots, with whatever the people have beside them taken into
// account: caps, targets, weeks, and candidates who cannot because of what they have.
func (m *mending) problem(slots []int) Problem {
	sub := m.p
	sub.People, sub.Families = slices.Clone(m.p.People), slices.Clone(m.p.Families)
	sub.beside = &beside{week: map[[2]int]int{}, day: map[[2]int]int{}}
	in := map[int]bool{}
	for _, s := range slots {
		in[s] = true
	}
	free := make([]int, len(m.p.People)) // duties of the part that somebody has now
	for i, held := range m.held {
		for _, s := range held {
			if in[s] {
				free[i]++
				continue
			}
			game := m.p.Games[m.p.Slots[s].Game]
			sub.beside.week[[2]int{i, game.Week}]++
			sub.beside.day[[2]int{i, game.Day}]++
			sub.Families[m.p.People[i].Family].Target--
			sub.People[i].SeasonCap--
		}
	}
	for i := range sub.People {
		sub.People[i].SeasonCap = max(0, min(sub.People[i].SeasonCap, free[i]+partCap))
	}
	sub.Slots = make([]Slot, 0, len(slots))
	for _, s := range slots {
		slot := m.p.Slots[s]
		open := make([]Candidate, 0, len(slot.Candidates))
		for _, c := range slot.Candidates {
			if m.who[s] == c.Person || m.may(slot.Game, c.Person, sub, in) {
				open = append(open, c)
			}
		}
		slot.Candidates = open
		sub.Slots = append(sub.Slots, slot)
	}
	return sub
}

// may says whether somebody could be at a game beside what they, and their family, have
// outside of a part.
func (m *mending) may(game, person int, sub Problem, in map[int]bool) bool {
	one := sub.People[person]
	if one.SeasonCap == 0 || sub.beside.day[[2]int{person, m.p.Games[game].Day}] >= one.DayCap {
		return false
	}
	clashes := func(person int) bool {
		return slices.ContainsFunc(m.held[person], func(s int) bool { return !in[s] && m.p.Clash(game, m.p.Slots[s].Game) })
	}
	if !m.p.Families[one.Family].OneAtATime {
		return !clashes(person)
	}
	return !slices.ContainsFunc(m.members[one.Family], clashes)
}
