package rota

import "slices"

// network is a flow from families over people, their weeks and days to the slots.
// Every arc has its reverse beside it: arc a and a^1.
type network struct {
	first []int32 // by node: where its arcs begin in order
	order []int32 // arcs by node
	to    []int32
	room  []int32 // what may still flow
	cost  []int32
	price []int32 // potential of each node: no arc with room has a reduced cost below nought

	slot   []int32 // node of each slot
	duty   []int32 // arc of each candidate, slot after slot
	of     []int32 // the slot of each duty
	backTo int32   // the arc from the sink to the source
	taken  []int32 // by node of a slot: the duty that fills it, or none
	effort *int    // arcs that were looked at, by all networks of a problem

	tell func(done, all int) // how far the flow is; may be nil

	*scratch // shared by the copies of a network, which are never measured at once
}

// scratch is what finding a way needs and nobody looks at afterwards.
type scratch struct {
	dist   []int32
	parent []int32
	queue  buckets
	seen   []int32 // nodes whose dist was set
}

// copy is a network that goes on by itself from the same flow.
func (n *network) copy() *network {
	other := *n
	other.room, other.price, other.taken = slices.Clone(n.room), slices.Clone(n.price), slices.Clone(n.taken)
	return &other
}

const (
	source int32 = 0
	sink   int32 = 1
	far    int32 = 1 << 30
	none   int32 = -1
)

// build lays the network out. Costs along a family's arcs rise with each duty, so
// that the cheapest flow uses them in turn; so do those of a person's week.
func build(p Problem) *network {
	n := &network{}
	nodes := int32(2)
	node := func() int32 { nodes++; return nodes - 1 }
	var tails []int32
	arc := func(from, to int32, room, cost int) int32 {
		tails = append(tails, from, to)
		n.to = append(n.to, to, from)
		n.room = append(n.room, int32(room), 0)
		n.cost = append(n.cost, int32(cost), int32(-cost))
		return int32(len(n.to) - 2)
	}
	most := make([]int, len(p.Families))
	for _, person := range p.People {
		most[person.Family] += person.SeasonCap
	}
	family := make([]int32, len(p.Families))
	for f := range p.Families {
		family[f] = node()
		for k := 1; k <= min(most[f], len(p.Slots)); k++ {
			arc(source, family[f], 1, p.Fair*(2*(k-p.Families[f].Target)-1))
		}
	}
	people := make([]int32, len(p.People))
	early := make([]int32, len(p.People)) // where the duties of somebody's first weeks begin
	for i, person := range p.People {
		people[i] = node()
		arc(family[person.Family], people[i], person.SeasonCap, 0)
		if early[i] = people[i]; p.waits(i) {
			early[i] = node()
			arc(people[i], early[i], 1, -p.First)
			arc(people[i], early[i], len(p.Slots), 0)
		}
	}
	weeks, days := map[[2]int]int32{}, map[[2]int]int32{}
	for _, slot := range p.Slots {
		n.slot = append(n.slot, node())
		arc(n.slot[len(n.slot)-1], sink, 1, -slot.Empty)
	}
	for s, slot := range p.Slots {
		game := p.Games[slot.Game]
		for _, c := range slot.Candidates {
			week, known := weeks[[2]int{c.Person, game.Week}]
			if !known {
				week = node()
				weeks[[2]int{c.Person, game.Week}] = week
				from := people[c.Person]
				if game.Week < p.People[c.Person].New {
					from = early[c.Person]
				}
				if p.inWeek(c.Person, game.Week) == 0 {
					arc(from, week, 1, 0)
				}
				arc(from, week, len(p.Slots), p.WeekExtra)
			}
			day, known := days[[2]int{c.Person, game.Day}]
			if !known {
				day = node()
				days[[2]int{c.Person, game.Day}] = day
				arc(week, day, max(0, p.People[c.Person].DayCap-p.onDay(c.Person, game.Day)), 0)
			}
			n.duty = append(n.duty, arc(day, n.slot[s], 1, c.Cost))
			n.of = append(n.of, int32(s))
		}
	}
	n.backTo = arc(sink, source, len(p.Slots), 0)
	n.index(nodes, tails)
	return n
}

// index sorts the arcs by their tails.
func (n *network) index(nodes int32, tails []int32) {
	n.first = make([]int32, nodes+1)
	for _, tail := range tails {
		n.first[tail+1]++
	}
	for i := range nodes {
		n.first[i+1] += n.first[i]
	}
	n.order = make([]int32, len(tails))
	at := slices.Clone(n.first)
	for a, tail := range tails {
		n.order[at[tail]] = int32(a)
		at[tail]++
	}
	n.effort = new(int)
	n.price = make([]int32, nodes)
	n.taken = slices.Repeat([]int32{none}, int(nodes))
	n.scratch = &scratch{dist: make([]int32, nodes), parent: make([]int32, nodes)}
	for i := range n.dist {
		n.dist[i] = far
	}
}

// solve makes the cheapest flow: as long as a way from the source to the sink
// costs less than nought, it is used.
func (n *network) solve() {
	n.begin()
	dead, next := make([]bool, len(n.price)), make([]int32, len(n.price))
	for pushed := 0; n.price[sink] < 0; {
		clear(dead)
		copy(next, n.first)
		for n.push(source, dead, next) {
			pushed++
		}
		if n.tell != nil {
			n.tell(pushed, len(n.slot))
		}
		n.measure(source, sink, false, far)
		n.lower(-n.price[sink])
	}
	flow := int32(0)
	for _, a := range n.order[n.first[sink]:n.first[sink+1]] {
		if a != n.backTo && a&1 == 1 {
			flow += n.room[a]
		}
	}
	n.room[n.backTo] -= flow
	n.room[n.backTo^1] += flow
}

// send puts one unit on an arc.
func (n *network) send(a int32) {
	n.room[a]--
	n.room[a^1]++
	switch day, slot := n.to[a^1], n.to[a]; {
	case a&1 == 0 && n.isSlot(slot):
		n.taken[slot] = a
	case a&1 == 1 && n.isSlot(day) && n.taken[day] == a^1:
		n.taken[day] = none
	}
}

// isSlot says whether a node is a slot: theirs are laid out one after the other.
func (n *network) isSlot(v int32) bool {
	return len(n.slot) > 0 && v >= n.slot[0] && v <= n.slot[len(n.slot)-1]
}

// ways is the arcs of a node that may have room. A slot has one to the sink and
// one back along the duty that fills it; its others are never looked at.
func (n *network) ways(v int32, two *[2]int32) []int32 {
	if !n.isSlot(v) {
		return n.order[n.first[v]:n.first[v+1]]
	}
	two[0] = n.order[n.first[v]]
	if n.taken[v] == none {
		return two[:1]
	}
	two[1] = n.taken[v] ^ 1
	return two[:]
}

// begin sets the first potentials. There is no flow yet and the network has no
// circle, so shortest ways are found by looking at the nodes in layers.
func (n *network) begin() {
	for i := range n.price {
		n.price[i] = far
	}
	n.price[source] = 0
	for changed := true; changed; {
		changed = false
		for v := range int32(len(n.price)) {
			if n.price[v] == far {
				continue
			}
			for _, a := range n.order[n.first[v]:n.first[v+1]] {
				if to := n.to[a]; n.room[a] > 0 && a != n.backTo && n.price[v]+n.cost[a] < n.price[to] {
					n.price[to] = n.price[v] + n.cost[a]
					changed = true
				}
			}
		}
	}
	most := int32(0)
	for _, price := range n.price {
		if price != far {
			most = max(most, price)
		}
	}
	for i, price := range n.price {
		if price == far { // nobody gets there; any price that makes no arc cheap will do
			n.price[i] = most + far/4
		}
	}
}

// push sends one unit along arcs of reduced cost nought, and says whether it could.
func (n *network) push(v int32, dead []bool, next []int32) bool {
	if v == sink {
		return true
	}
	dead[v] = true // also keeps the walk out of circles
	for ; next[v] < n.first[v+1]; next[v]++ {
		a := n.order[next[v]]
		to := n.to[a]
		if n.room[a] > 0 && !dead[to] && a != n.backTo && n.cost[a]+n.price[v]-n.price[to] == 0 && n.push(to, dead, next) {
			n.send(a)
			dead[v] = false
			return true
		}
	}
	return false
}

// measure finds how far each node is from one, by reduced cost, up to the goal or
// a distance. Back says whether the way may lead from the sink round to the source.
func (n *network) measure(from, goal int32, back bool, most int32) {
	for _, v := range n.seen {
		n.dist[v] = far
	}
	n.seen = append(n.seen[:0], from)
	n.queue.clear()
	n.dist[from] = 0
	n.queue.put(from, 0)
	var two [2]int32
	for {
		v, d, found := n.queue.take()
		if !found {
			return
		}
		if d > n.dist[v] {
			continue
		}
		if v == goal || d > most {
			return
		}
		price := n.price[v]
		ways := n.ways(v, &two)
		*n.effort += len(ways)
		for _, a := range ways {
			if n.room[a] == 0 || !back && a>>1 == n.backTo>>1 {
				continue
			}
			to := n.to[a]
			if reach := d + n.cost[a] + price - n.price[to]; reach < n.dist[to] {
				if n.dist[to] == far {
					n.seen = append(n.seen, to)
				}
				n.dist[to], n.parent[to] = reach, a
				n.queue.put(to, reach)
			}
		}
	}
}

// lower takes the distances into the potentials, each at most as much as given:
// all arcs with room keep a reduced cost of nought or more.
func (n *network) lower(most int32) {
	if d := n.dist[sink]; d < most {
		most = d
	}
	n.shift(most)
}

func (n *network) shift(most int32) {
	// Nodes that were not reached are at least so far.
	for _, v := range n.seen {
		if n.dist[v] < most {
			n.price[v] += n.dist[v] - most
		}
	}
	for v := range n.price {
		n.price[v] += most
	}
}

// ban takes a duty out of the flow for good: its unit goes the cheapest other way
// round. It returns what that costs.
func (n *network) ban(a int32) int32 {
	more, _ := n.round(a, far)
	n.close(a)
	return more
}

// banOne bans the one of two duties whose way round is cheaper.
func (n *network) banOne(a, b int32) {
	first, _ := n.round(a, far)
	if _, found := n.round(b, first-1); found {
		n.close(b)
		return
	}
	n.ban(a)
}

// round finds the cheapest way round a duty that the flow uses, and what it costs
// more; it gives up above the most that it may cost.
func (n *network) round(a, most int32) (int32, bool) {
	day, slot := n.to[a^1], n.to[a]
	free := n.cost[a] + n.price[day] - n.price[slot] // what the way costs more, less its length
	if most != far {
		most += free
	}
	n.measure(day, slot, true, most)
	if n.dist[slot] > most {
		return 0, false
	}
	return n.dist[slot] - free, true
}

// close sends a duty's unit along the way that was measured last, and closes it.
func (n *network) close(a int32) {
	day, slot := n.to[a^1], n.to[a]
	for v := slot; v != day; v = n.to[n.parent[v]^1] {
		n.send(n.parent[v])
	}
	n.shift(n.dist[slot])
	n.room[a], n.room[a^1] = 0, 0
	if n.taken[slot] == a {
		n.taken[slot] = none
	}
}

// held says whether the flow uses a duty.
func (n *network) held(a int32) bool { return n.room[a^1] > 0 }
