package rota

import (
	"cmp"
	"slices"
)

// Swap is another slot whose person could change places with a slot's, and what that
// changes the cost by.
type Swap struct {
	Slot int
	Cost int
}

// Swaps lists the slots whose people could change places with the one of a slot, both
// without breaking a hard rule, everybody else as they are, the cheapest first.
func Swaps(p Problem, who []int, slot int) []Swap {
	if who[slot] == Nobody {
		return nil
	}
	s := begin(p, who, 0)
	was, left := s.take(slot)
	var list []Swap
	for other, person := range who {
		there, able := s.find(other, was.Person)
		here, welcome := s.find(slot, person)
		if other == slot || person == Nobody || person == was.Person || !able || !welcome {
			continue
		}
		back, cost := s.take(other)
		cost += left
		if s.legal(other, there) {
			cost += s.add(other, there)
			if s.legal(slot, here) {
				cost += s.add(slot, here)
				if s.guided(slot) && s.guided(other) {
					list = append(list, Swap{other, cost})
				}
				s.take(slot)
			}
			s.take(other)
		}
		s.put(other, back)
	}
	slices.SortStableFunc(list, func(a, b Swap) int { return cmp.Compare(a.Cost, b.Cost) })
	return list
}
