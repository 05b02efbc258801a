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
	var faults []Fault
	found := func(rule string, slot, other int) { faults = append(faults, Fault{rule, slot, other}) }
	role := make([]Role, len(who))
	for s, person := range who {
		if person == Nobody {
			if p.Slots[s].Fixed {
				found("fixed", s, Nobody)
			}
			continue
		}
		may := false
		for _, c := range p.Slots[s].Candidates {
			if c.Person == person {
				may, role[s] = true, c.Role
			}
		}
		if !may {
			found("candidate", s, Nobody)
		}
	}
	season := map[int]int{}
	day := map[[2]int]int{}
	for s, person := range who {
		if person == Nobody {
			continue
		}
		game := p.Slots[s].Game
		if season[person]++; season[person] > p.People[person].SeasonCap {
			found("season_cap", s, Nobody)
		}
		key := [2]int{person, p.Games[game].Day}
		if day[key]++; day[key] > p.People[person].DayCap {
			found("day_cap", s, Nobody)
		}
		for o := range s {
			if who[o] == Nobody || !p.Clash(game, p.Slots[o].Game) {
				continue
			}
			family := p.People[person].Family
			switch {
			case who[o] == person:
				found("clash", s, o)
			case p.People[who[o]].Family == family && p.Families[family].OneAtATime:
				found("one_at_a_time", s, o)
			}
		}
		if role[s] != Learner {
			continue
		}
		guided := false
		for o, other := range who {
			if o == s || other == Nobody || p.Slots[o].Game != game {
				continue
			}
			guided = guided || role[o] == Guide
			if role[o] == Learner {
				found("learner", s, o)
			}
		}
		if !guided {
			found("learner", s, Nobody)
		}
	}
	return faults
}
