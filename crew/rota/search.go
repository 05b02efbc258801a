package rota

import (
	"math"

	"whistlestop/game/dice"
)

// search is a rota that changes by legal moves only.
type search struct {
	p       Problem
	who     []int
	role    []Role  // of who sits there
	own     []int   // what that duty costs beside fairness
	held    [][]int // slots of each person
	family  []int   // duties of each family
	weeks   []int   // duties of each person and week
	early   []int   // duties of each person in the weeks in which they are new
	perWeek int
	members [][]int
	guides  []int // in each game
	learn   []int // learners in each game
	free    []int // slots that may change
	random  dice.Dice
}

// tellEvery is after how many moves it is told how far the search is.
const tellEvery = 1 << 14

// temperatures are in 256ths of a cost: the search begins warm enough to trade a
// rink that somebody does not like, and ends by taking nothing that is worse.
const (
	warmest = 3 * 256
	hottest = 10 * 256 // where there are several searches, so that they end apart
	coldest = 256 / 4
)

// polish changes a legal rota by seeded annealing and returns the best that it met.
func polish(p Problem, who []int, o Options, warm int, tell func(done, all int)) []int {
	s := begin(p, who, o.Seed)
	if len(s.free) == 0 {
		return who
	}
	cost, least := 0, 0 // against the beginning
	best := append([]int(nil), s.who...)
	for i := range o.Moves {
		if i%tellEvery == 0 {
			tell(i, o.Moves)
		}
		heat := warm - (warm-coldest)*(i/256)/(o.Moves/256+1)
		slack := heat * exponential[s.random.Below(len(exponential))] / 256
		delta, moved := s.move(slack)
		if !moved {
			continue
		}
		if cost += delta; cost < least {
			least = cost
			copy(best, s.who)
		}
	}
	return best
}

// exponential holds 256 times the quantiles of the exponential distribution: a
// move that costs d is taken with the chance exp(-d/heat), without floats where
// it is decided.
var exponential = func() [256]int {
	var list [256]int
	for i := range list {
		list[i] = int(math.Round(-256 * math.Log((float64(i)+0.5)/256)))
	}
	return list
}()

func begin(p Problem, who []int, seed uint64) *search {
	s := &search{
		p: p, who: make([]int, len(who)), role: make([]Role, len(who)), own: make([]int, len(who)),
		held: make([][]int, len(p.People)), family: make([]int, len(p.Families)),
		members: make([][]int, len(p.Families)), guides: make([]int, len(p.Games)), learn: make([]int, len(p.Games)),
		random: dice.Dice(seed),
	}
	for _, game := range p.Games {
		s.perWeek = max(s.perWeek, game.Week+1)
	}
	s.weeks, s.early = make([]int, s.perWeek*len(p.People)), make([]int, len(p.People))
	for i, person := range p.People {
		s.members[person.Family] = append(s.members[person.Family], i)
	}
	for slot, person := range who {
		s.who[slot] = Nobody
		if !p.Slots[slot].Fixed && len(p.Slots[slot].Candidates) > 0 {
			s.free = append(s.free, slot)
		}
		if person == Nobody {
			continue
		}
		for _, c := range p.Slots[slot].Candidates {
			if c.Person == person {
				s.add(slot, c)
			}
		}
	}
	return s
}

// move tries one random change, and keeps it when it costs at most the slack, in
// 256ths. It returns what it changed the cost by.
func (s *search) move(slack int) (int, bool) {
	slot := s.free[s.random.Below(len(s.free))]
	candidates := s.p.Slots[slot].Candidates
	c := candidates[s.random.Below(len(candidates))]
	if s.who[slot] == c.Person {
		return 0, false
	}
	if s.random.Below(2) == 0 && len(s.held[c.Person]) > 0 {
		return s.trade(slot, c, slack)
	}
	return s.replace(slot, c, slack)
}

// replace puts somebody on a slot in place of whoever is there.
func (s *search) replace(slot int, c Candidate, slack int) (int, bool) {
	was, delta := s.take(slot)
	if s.legal(slot, c) {
		delta += s.add(slot, c)
		if delta*256 <= slack && s.guided(slot) {
			return delta, true
		}
		s.take(slot)
	}
	s.put(slot, was)
	return 0, false
}

// trade takes somebody from a slot of theirs to another one, and gives the slot
// that they leave to whoever was there, or to another candidate.
func (s *search) trade(slot int, c Candidate, slack int) (int, bool) {
	left := s.held[c.Person][s.random.Below(len(s.held[c.Person]))]
	if s.p.Slots[left].Fixed || left == slot {
		return 0, false
	}
	wasLeft, delta := s.take(left)
	was, more := s.take(slot)
	delta += more
	if s.legal(slot, c) {
		delta += s.add(slot, c)
		next, found := s.find(left, was.Person)
		if !found || was.Person < 0 || s.random.Below(4) == 0 {
			list := s.p.Slots[left].Candidates
			next, found = list[s.random.Below(len(list))], true
		}
		if found && next.Person != c.Person && s.legal(left, next) {
			delta += s.add(left, next)
			if delta*256 <= slack && s.guided(slot) && s.guided(left) {
				return delta, true
			}
			s.take(left)
		}
		s.take(slot)
	}
	s.put(slot, was)
	s.put(left, wasLeft)
	return 0, false
}

// find is a person's candidacy for a slot.
func (s *search) find(slot, person int) (Candidate, bool) {
	for _, c := range s.p.Slots[slot].Candidates {
		if c.Person == person {
			return c, true
		}
	}
	return Candidate{}, false
}

// legal says whether somebody may take a slot that is empty now. Whether a learner
// has a guide is asked when a move is done.
func (s *search) legal(slot int, c Candidate) bool {
	person := s.p.People[c.Person]
	if len(s.held[c.Person]) >= person.SeasonCap {
		return false
	}
	game := s.p.Slots[slot].Game
	today := 0
	for _, other := range s.held[c.Person] {
		there := s.p.Slots[other].Game
		if s.p.Games[there].Day != s.p.Games[game].Day {
			continue
		}
		if today++; s.p.Clash(game, there) {
			return false
		}
	}
	if today >= person.DayCap {
		return false
	}
	if !s.p.Families[person.Family].OneAtATime {
		return true
	}
	for _, member := range s.members[person.Family] {
		if member == c.Person {
			continue
		}
		for _, other := range s.held[member] {
			if s.p.Clash(game, s.p.Slots[other].Game) {
				return false
			}
		}
	}
	return true
}

// guided says whether the learners of a slot's game are as they may be.
func (s *search) guided(slot int) bool {
	game := s.p.Slots[slot].Game
	return s.learn[game] == 0 || s.learn[game] == 1 && s.guides[game] > 0
}

// add puts somebody on an empty slot and returns what that changes the cost by.
func (s *search) add(slot int, c Candidate) int {
	game, family := s.p.Slots[slot].Game, s.p.People[c.Person].Family
	s.who[slot], s.role[slot], s.own[slot] = c.Person, c.Role, c.Cost
	s.held[c.Person] = append(s.held[c.Person], slot)
	s.family[family]++
	week := &s.weeks[c.Person*s.perWeek+s.p.Games[game].Week]
	*week++
	s.count(game, c.Role, 1)
	delta := c.Cost - s.p.Slots[slot].Empty + s.p.Fair*(2*(s.family[family]-s.p.Families[family].Target)-1)
	if *week > 1 {
		delta += s.p.WeekExtra
	}
	if s.p.Games[game].Week < s.p.People[c.Person].New {
		if s.early[c.Person]++; s.early[c.Person] == 1 {
			delta -= s.p.First
		}
	}
	return delta
}

// take empties a slot and returns who was there and what that changes the cost by.
func (s *search) take(slot int) (Candidate, int) {
	person := s.who[slot]
	was := Candidate{Person: person, Cost: s.own[slot], Role: s.role[slot]}
	if person == Nobody {
		return was, 0
	}
	game, family := s.p.Slots[slot].Game, s.p.People[person].Family
	delta := s.p.Slots[slot].Empty - was.Cost - s.p.Fair*(2*(s.family[family]-s.p.Families[family].Target)-1)
	week := &s.weeks[person*s.perWeek+s.p.Games[game].Week]
	if *week > 1 {
		delta -= s.p.WeekExtra
	}
	*week--
	if s.p.Games[game].Week < s.p.People[person].New {
		if s.early[person]--; s.early[person] == 0 {
			delta += s.p.First
		}
	}
	s.family[family]--
	s.who[slot] = Nobody
	s.count(game, was.Role, -1)
	held := s.held[person]
	for i, other := range held {
		if other == slot {
			held[i] = held[len(held)-1]
			s.held[person] = held[:len(held)-1]
			break
		}
	}
	return was, delta
}

// put takes back what take took.
func (s *search) put(slot int, was Candidate) {
	if was.Person != Nobody {
		s.add(slot, was)
	}
}

func (s *search) count(game int, role Role, by int) {
	switch role {
	case Guide:
		s.guides[game] += by
	case Learner:
		s.learn[game] += by
	case Ready:
	}
}
