package rota

import (
	"cmp"
	"slices"
)

// Choice is somebody who could take a slot, and what that changes the cost by.
type Choice struct {
	Person int
	Cost   int
}

// Next lists who could take a slot without breaking a hard rule, everybody else as
// they are, the cheapest first. Whoever holds it now is not among them.
func Next(p Problem, who []int, slot int) []Choice {
	s := begin(p, who, 0)
	was, _ := s.take(slot)
	var list []Choice
	for _, c := range p.Slots[slot].Candidates {
		if c.Person == was.Person || !s.legal(slot, c) {
			continue
		}
		cost := s.add(slot, c)
		if s.guided(slot) {
			list = append(list, Choice{c.Person, cost})
		}
		s.take(slot)
	}
	slices.SortStableFunc(list, func(a, b Choice) int { return cmp.Compare(a.Cost, b.Cost) })
	return list
}

// Against says which hard rules keep a candidate from a slot, everybody else as they
// are: none where they could take it.
func Against(p Problem, who []int, slot, person int) []Fault {
	with := slices.Clone(who)
	with[slot] = person
	var list []Fault
	for _, f := range Check(p, with) {
		if f.Slot == slot || f.Other == slot || f.Rule == "day_cap" || f.Rule == "season_cap" || f.Rule == "learner" {
			list = append(list, f)
		}
	}
	return list
}

// Keep is the problem in which a rota that people know stays as it is where it can:
// whoever else takes a duty of it costs so much more, and so does leaving it empty.
// Who may no longer hold their duty is nobody's choice and costs nothing.
func Keep(p Problem, who []int, cost int) Problem {
	slots := slices.Clone(p.Slots)
	for s := range slots {
		if s >= len(who) || who[s] == Nobody {
			continue
		}
		candidates := slices.Clone(slots[s].Candidates)
		stays := false
		for i := range candidates {
			if candidates[i].Person == who[s] {
				stays = true
			} else {
				candidates[i].Cost += cost
			}
		}
		if stays {
			slots[s].Candidates = candidates
			slots[s].Empty += cost
		}
	}
	p.Slots = slots
	return p
}

// Could lists the empty slots that somebody could take without breaking a hard rule,
// everybody else as they are, in their order.
func Could(p Problem, who []int, person int) []int {
	s := begin(p, who, 0)
	var list []int
	for slot, v := range who {
		c, able := s.find(slot, person)
		if v != Nobody || !able || !s.legal(slot, c) {
			continue
		}
		s.add(slot, c)
		if s.guided(slot) {
			list = append(list, slot)
		}
		s.take(slot)
	}
	return list
}
