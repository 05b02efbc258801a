package rota

import "fmt"

// Fault is a hard rule that a rota breaks.
type Fault struct {
	Rule  string // candidate, twice, day_cap, season_cap, clash, one_at_a_time, learner, fixed
	Slot  int
	Other int // the other slot, where two do not go together; otherwise -1
}

// Error says the fault by numbers.
func (f Fault) Error() string { return fmt.Sprintf("slot %d, %d: %s", f.Slot, f.Other, f.Rule) }

// Check holds a rota against every hard rule, each by plain comparison of all
// duties: it shares nothing with the way in which rotas are made.
func Check(p Problem, who []int) []Fault {
	if len(who) != len(p.Slots) {
		return []Fault{{Rule: "candidate", Slot: len(who), Other: Nobody}}
	}
	c := checking{Problem: p, who: who, role: make([]Role, len(who))}
	for s, person := range who {
		c.candidate(s, person)
	}
	season := map[int]int{}
	day := map[[2]int]int{}
	for s, person := range who {
		if person == Nobody {
			continue
		}
		if season[person]++; season[person] > p.People[person].SeasonCap {
			c.found("season_cap", s, Nobody)
		}
		key := [2]int{person, p.Games[p.Slots[s].Game].Day}
		if day[key]++; day[key] > p.People[person].DayCap {
			c.found("day_cap", s, Nobody)
		}
		c.clashes(s, person)
		if c.role[s] == Learner {
			c.learner(s)
		}
	}
	return c.faults
}

// checking is a rota while it is held against the rules.
type checking struct {
	Problem
	who    []int
	role   []Role // of whoever has each slot
	faults []Fault
}

func (c *checking) found(rule string, slot, other int) {
	c.faults = append(c.faults, Fault{rule, slot, other})
}

// candidate looks whether a slot's person may have it, and notes as what.
func (c *checking) candidate(s, person int) {
	if person == Nobody {
		if c.Slots[s].Fixed {
			c.found("fixed", s, Nobody)
		}
		return
	}
	may := false
	for _, one := range c.Slots[s].Candidates {
		if one.Person == person {
			may, c.role[s] = true, one.Role
		}
	}
	if !may {
		c.found("candidate", s, Nobody)
	}
}

// clashes looks for earlier slots that do not go together with this one.
func (c *checking) clashes(s, person int) {
	family := c.People[person].Family
	for o := range s {
		if c.who[o] == Nobody || !c.Clash(c.Slots[s].Game, c.Slots[o].Game) {
			continue
		}
		switch {
		case c.who[o] == person:
			c.found("clash", s, o)
		case c.People[c.who[o]].Family == family && c.Families[family].OneAtATime:
			c.found("one_at_a_time", s, o)
		}
	}
}

// learner looks whether a guide, and no other learner, is at the learner's game.
func (c *checking) learner(s int) {
	guided := false
	for o, other := range c.who {
		if o == s || other == Nobody || c.Slots[o].Game != c.Slots[s].Game {
			continue
		}
		guided = guided || c.role[o] == Guide
		if c.role[o] == Learner {
			c.found("learner", s, o)
		}
	}
	if !guided {
		c.found("learner", s, Nobody)
	}
}
