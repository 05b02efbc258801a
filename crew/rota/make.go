package rota

import (
	"slices"

	"whistlestop/game/message"
)

// Options steer the making of a rota. Moves and not seconds are its budget, so
// that the same input and seed give the same rota everywhere.
type Options struct {
	Seed  uint64
	Moves int // of the search; 0 leaves it out
	Steps int // of the proof at the end, which tells the bound and finds what is cheaper; 0 leaves it out
}

// Rota says who sits where, and how good that is.
type Rota struct {
	Who    []int // by slot: a person, or Nobody
	Cost   int
	Bound  int  // no rota can cost less
	Flow   int  // what the flow alone costs, before clashes, free adults and guides
	Proved bool // no rota costs less than this one
}

// Make makes a rota that breaks no hard rule. It fails only on a problem that
// cannot be, or whose fixed slots break a rule among themselves.
func Make(p Problem, o Options) (Rota, error) {
	if err := p.Validate(); err != nil {
		return Rota{}, err
	}
	p.Slots = held(p.Slots)
	n := build(p)
	n.solve()
	root := n.copy()
	r := Rota{Flow: base(p) + n.total()}
	r.Bound = r.Flow
	if err := n.obey(p); err != nil {
		return Rota{}, err
	}
	r.Who = n.who(p)
	for s, slot := range p.Slots {
		if slot.Fixed && r.Who[s] == Nobody {
			return Rota{}, message.New("rota.fixed_many", "slot", s)
		}
	}
	if o.Moves > 0 {
		r.Who = polish(p, r.Who, o)
	}
	r.Cost = p.Cost(r.Who)
	if o.Steps > 0 && r.Bound < r.Cost {
		prove(p, root, &r, o.Steps)
	}
	r.Proved = r.Bound == r.Cost
	return r, nil
}

// neverEmpty is what an empty fixed slot costs: more than whatever its person could do
// instead.
const neverEmpty = 1_000_000

// held makes leaving a fixed slot dearer than anything else. Where all are held, as in
// every rota that is made, no cost depends on it.
func held(slots []Slot) []Slot {
	slots = slices.Clone(slots)
	for s := range slots {
		if slots[s].Fixed {
			slots[s].Empty = max(slots[s].Empty, neverEmpty)
		}
	}
	return slots
}

// base is what an empty rota costs.
func base(p Problem) int {
	sum := 0
	for _, family := range p.Families {
		sum += p.Fair * family.Target * family.Target
	}
	for _, slot := range p.Slots {
		sum += slot.Empty
	}
	return sum
}

// total is what the flow costs.
func (n *network) total() int {
	sum := 0
	for a := int32(0); a < int32(len(n.to)); a += 2 {
		sum += int(n.cost[a]) * int(n.room[a^1])
	}
	return sum
}

// who reads the rota from the flow.
func (n *network) who(p Problem) []int {
	who := make([]int, len(p.Slots))
	at := 0
	for s, slot := range p.Slots {
		who[s] = Nobody
		for _, c := range slot.Candidates {
			if n.held(n.duty[at]) {
				who[s] = c.Person
			}
			at++
		}
	}
	return who
}
