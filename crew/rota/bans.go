package rota

import "whistlestop/game/message"

// manyDuties is from where on looking for both ways round would take too long: then
// the slot for which more people may be asked gives its duty up.
const manyDuties = 100_000

// obey takes duties out of the flow until it breaks no hard rule that a flow
// cannot say: of two duties that do not go together the one goes whose way round
// is cheaper. Every ban closes a duty for good, so it ends.
func (n *network) obey(p Problem) error {
	first := make([]int, len(p.Slots)+1) // of the duties of each slot
	for s, slot := range p.Slots {
		first[s+1] = first[s] + len(slot.Candidates)
	}
	for {
		pairs, alone := n.broken(p, first)
		if len(pairs)+len(alone) == 0 {
			return nil
		}
		for _, pair := range pairs {
			a, b := n.duty[pair[0]], n.duty[pair[1]]
			if !n.held(a) || !n.held(b) { // an earlier ban of this round saw to it
				continue
			}
			fixedA, fixedB := p.Slots[n.of[pair[0]]].Fixed, p.Slots[n.of[pair[1]]].Fixed
			switch {
			case fixedA && fixedB:
				return message.New("rota.fixed_apart", "one", n.of[pair[0]], "other", n.of[pair[1]])
			case fixedA:
				n.ban(b)
			case fixedB:
				n.ban(a)
			case len(n.duty) > manyDuties && first[n.of[pair[0]]+1]-first[n.of[pair[0]]] > first[n.of[pair[1]]+1]-first[n.of[pair[1]]]:
				n.ban(a)
			case len(n.duty) > manyDuties:
				n.ban(b)
			default:
				n.banOne(a, b)
			}
		}
		for _, duty := range alone {
			if !n.held(n.duty[duty]) {
				continue
			}
			if p.Slots[n.of[duty]].Fixed {
				return message.New("rota.fixed_alone", "slot", n.of[duty])
			}
			n.ban(n.duty[duty])
		}
	}
}

// clashing lists pairs of duties that one person, or one family of which only one
// may be away, cannot do both.
func (n *network) clashing(p Problem, duties [][]int) (pairs [][2]int) {
	members := make([][]int, len(p.Families))
	for i, person := range p.People {
		members[person.Family] = append(members[person.Family], i)
	}
	with := func(d int, others []int) {
		for _, e := range others {
			if p.Clash(p.Slots[n.of[d]].Game, p.Slots[n.of[e]].Game) {
				pairs = append(pairs, [2]int{e, d})
			}
		}
	}
	for f, family := range p.Families {
		var before []int // of the family's people before this one
		for _, person := range members[f] {
			for i, d := range duties[person] {
				with(d, duties[person][:i])
				with(d, before)
			}
			if family.OneAtATime {
				before = append(before, duties[person]...)
			}
		}
	}
	return pairs
}

// broken lists pairs of duties that do not go together, and learners without a
// guide, by the index of the duty.
func (n *network) broken(p Problem, first []int) (pairs [][2]int, alone []int) {
	duties := make([][]int, len(p.People)) // held by each person
	byGame := make([][]int, len(p.Games))
	for s := range p.Slots {
		for d := first[s]; d < first[s+1]; d++ {
			if n.held(n.duty[d]) {
				person := p.Slots[s].Candidates[d-first[s]].Person
				duties[person] = append(duties[person], d)
				byGame[p.Slots[s].Game] = append(byGame[p.Slots[s].Game], d)
			}
		}
	}
	pairs = n.clashing(p, duties)
	role := func(d int) Role { return p.Slots[n.of[d]].Candidates[d-first[n.of[d]]].Role }
	for _, held := range byGame {
		guided := false
		var learners []int
		for _, d := range held {
			switch role(d) {
			case Guide:
				guided = true
			case Learner:
				learners = append(learners, d)
			case Ready:
			}
		}
		if !guided {
			alone = append(alone, learners...)
			continue
		}
		for i := 1; i < len(learners); i++ {
			pairs = append(pairs, [2]int{learners[i-1], learners[i]})
		}
	}
	return pairs, alone
}
