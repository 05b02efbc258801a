package rota

import (
	"slices"

	"whistlestop/game/dice"
	"whistlestop/game/message"
)

// Options steer the making of a rota. Moves and not seconds are its budget, so
// that the same input and seed give the same rota everywhere.
type Options struct {
	Seed  uint64
	Moves int // of the search; 0 leaves it out
	Steps int // of the proof at the end, which tells the bound and finds what is cheaper; 0 leaves it out

	// Tell is told from time to time how much of it is done, in thousandths; may be nil.
	Tell func(part int)
}

// Rota says who sits where, and how good that is.
type Rota struct {
	Who    []int // by slot: a person, or Nobody
	Cost   int
	Bound  int  // no rota can cost less
	Flow   int  // what the flow alone costs, before clashes, free adults and guides
	Proved bool // no rota costs less than this one
}

// Where the stages of the making end, in thousandths of it: by measuring a season, ours.
const (
	flowPart  = 400
	bansPart  = 500
	movesPart = 700
	whole     = 1000
)

// stage tells how much of a stage from one part of the whole to another is done.
func (o Options) stage(from, to int) func(done, all int) {
	last := -1
	return func(done, all int) {
		if part := from + (to-from)*done/max(1, all); o.Tell != nil && part != last {
			last = part
			o.Tell(part)
		}
	}
}

// Make makes a rota that breaks no hard rule. It fails only on a problem that
// cannot be, or whose fixed slots break a rule among themselves.
func Make(p Problem, o Options) (Rota, error) {
	if err := p.Validate(); err != nil {
		return Rota{}, err
	}
	p.Slots = held(p.Slots)
	n := build(p)
	n.tell = o.stage(0, flowPart)
	n.solve()
	n.tell = nil
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
		r.Who = better(p, r.Who, r.Flow, o)
	}
	r.Cost = p.Cost(r.Who)
	if o.Steps > 0 && r.Bound < r.Cost {
		prove(p, root, &r, o.Steps)
	}
	r.Proved = r.Bound == r.Cost
	return r, nil
}

// When there are several searches, and what each of them gets: by measuring, ours.
const (
	manyMoves = 4000 // moves for each slot from which on there are several
	eachMoves = 600  // moves for each slot for which there is one search more
	mostOfAll = 12   // searches
	eachPart  = 3    // of the moves, for each: one of so many parts
)

// better is a rota that is not dearer: by one search, or where there are many moves for each
// slot by several shorter ones that begin hotter and look longer at each part, and then of
// what lies between what they found. What costs as little as the flow alone is not searched
// further. Seeds are drawn: one that is only moved on gives the same numbers later.
func better(p Problem, who []int, flow int, o Options) []int {
	if o.Moves < manyMoves*len(p.Slots) {
		next := polish(p, who, o, warmest, o.stage(bansPart, movesPart))
		return mend(p, next, o.Seed, parts{partSteps, o.Moves * mendEffort}, o.stage(movesPart, whole))
	}
	searches := max(1, min(mostOfAll, o.Moves/(eachMoves*max(1, len(p.Slots)))))
	at := func(third int) int { return bansPart + (whole-bansPart)*third/(3*searches) }
	seeds := dice.Dice(o.Seed)
	var found [][]int
	for k := range searches {
		one := o
		one.Seed, one.Moves = seeds.Next(), o.Moves/eachPart
		next := polish(p, who, one, hottest, o.stage(at(3*k), at(3*k+1)))
		next = mend(p, next, one.Seed, parts{longSteps, one.Moves * longEffort}, o.stage(at(3*k+1), at(3*k+3)))
		if found = append(found, next); p.Cost(next) == flow {
			return next
		}
	}
	return joined(p, found)
}

// mendEffort is how many arcs are looked at while parts are made anew for each move of
// the search: about as long as the moves take.
const (
	mendEffort = 30
	longEffort = 20 // the same of each of several searches
)

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
	for i := range p.People {
		if p.waits(i) {
			sum += p.First
		}
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
