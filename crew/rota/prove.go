package rota

import "slices"

// branch is a part of all rotas: those without the duties that were banned on the
// way to it, and with a guide wherever one was demanded.
type branch struct {
	p     Problem
	n     *network
	bound int // no rota of this part costs less
}

// demanded makes a slot that must be filled dearer to leave empty than any rota.
const demanded = 1 << 20

// prove looks through all rotas by parts, for so many steps: a part whose bound is
// not below the best rota is left out. It makes the rota cheaper where it can, and
// raises its bound to the lowest of the parts that were not looked at.
func prove(p Problem, root *network, r *Rota, steps int) {
	open := []branch{branch{p: p, n: root, bound: r.Flow}.withoutHope()}
	for ; steps > 0 && len(open) > 0; steps-- {
		at := open[len(open)-1]
		open = open[:len(open)-1]
		if at.bound >= r.Cost {
			continue
		}
		parts := at.divide()
		if parts == nil { // it breaks no rule, so it is the cheapest of its part
			r.Who, r.Cost = at.n.who(at.p), at.bound
			continue
		}
		// The most promising part is looked at next.
		slices.SortStableFunc(parts, func(a, b branch) int { return b.bound - a.bound })
		for _, part := range parts {
			if part.bound < r.Cost {
				open = append(open, part)
			}
		}
	}
	least := r.Cost
	for _, part := range open {
		least = min(least, part.bound)
	}
	r.Bound = max(r.Bound, least)
}

// withoutHope bans learners for whom no other candidate of the game is a guide.
func (b branch) withoutHope() branch {
	n := b.n.copy()
	guides := make(map[int]map[int]bool, len(b.p.Games)) // by game and slot: somebody may guide there
	for s, slot := range b.p.Slots {
		for _, c := range slot.Candidates {
			if c.Role == Guide {
				if guides[slot.Game] == nil {
					guides[slot.Game] = map[int]bool{}
				}
				guides[slot.Game][s] = true
			}
		}
	}
	duty := 0
	for s, slot := range b.p.Slots {
		others := len(guides[slot.Game])
		if guides[slot.Game][s] {
			others--
		}
		for _, c := range slot.Candidates {
			if a := n.duty[duty]; c.Role == Learner && others == 0 {
				if n.held(a) {
					b.bound += int(n.ban(a))
				}
				n.room[a], n.room[a^1] = 0, 0
			}
			duty++
		}
	}
	b.n = n
	return b
}

// divide splits a part by the first rule that its cheapest flow breaks; every legal
// rota is in one of the parts. It returns nil when the flow breaks none.
func (b branch) divide() []branch {
	first := make([]int, len(b.p.Slots)+1)
	for s, slot := range b.p.Slots {
		first[s+1] = first[s] + len(slot.Candidates)
	}
	pairs, alone := b.n.broken(b.p, first)
	switch {
	case len(pairs) > 0:
		parts := []branch{}
		for _, duty := range pairs[0] {
			if !b.p.Slots[b.n.of[duty]].Fixed {
				parts = append(parts, b.without(duty))
			}
		}
		return parts
	case len(alone) > 0:
		parts := []branch{}
		learner := b.n.of[alone[0]]
		if !b.p.Slots[learner].Fixed {
			parts = append(parts, b.without(alone[0]))
		}
		game := b.p.Slots[learner].Game
		for s := range b.p.Slots {
			if b.p.Slots[s].Game == game && s != int(learner) {
				if part, can := b.guided(s, first); can {
					parts = append(parts, part)
				}
			}
		}
		return parts
	}
	return nil
}

// without is the part in which nobody has this duty.
func (b branch) without(duty int) branch {
	n := b.n.copy()
	more := n.ban(n.duty[duty])
	return branch{p: b.p, n: n, bound: b.bound + int(more)}
}

// guided is the part in which a guide has this slot, if there is one who may.
func (b branch) guided(slot int, first []int) (branch, bool) {
	p := b.p
	p.Slots = slices.Clone(p.Slots)
	for s := range p.Slots { // what was banned before stays out
		var open []Candidate
		for i, c := range p.Slots[s].Candidates {
			a := b.n.duty[first[s]+i]
			closed := b.n.room[a] == 0 && b.n.room[a^1] == 0
			if !closed && (s != slot || c.Role == Guide) {
				open = append(open, c)
			}
		}
		p.Slots[s].Candidates = open
	}
	if len(p.Slots[slot].Candidates) == 0 {
		return branch{}, false
	}
	if p.Slots[slot].Empty < demanded {
		p.Slots[slot].Empty += demanded
	}
	n := build(p)
	n.effort = b.n.effort
	n.solve()
	return branch{p: p, n: n, bound: base(p) + n.total()}, true
}
