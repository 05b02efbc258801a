package rules

import (
	"slices"
	"strconv"
	"testing"

	"pgregory.net/rapid"

	"whistlestop/game/entry"
)

// drawKeeping draws a side's units of one stoppage: up to so many calls of a few
// players, and a captain's word about some of them.
func drawKeeping(t *rapid.T, most int) keeping {
	p := keeping{want: -1}
	rows := make([]*row, rapid.IntRange(1, most).Draw(t, "players"))
	for i := range rows {
		rows[i] = &row{id: strconv.Itoa(i), player: entry.Jersey(strconv.Itoa(i + 2))}
	}
	for range rapid.IntRange(1, most).Draw(t, "calls") {
		r := rapid.SampledFrom(rows).Draw(t, "who")
		p.call(r, rapid.SampledFrom([]entry.Part{entry.Minor, entry.Minor, entry.Major, entry.Match}).Draw(t, "part"))
	}
	for kind, list := range p.lists {
		p.stay[kind] = rapid.IntRange(0, len(list)).Draw(t, "stay")
		for _, j := range playersOf(list) {
			if len(p.picks[kind]) < p.stay[kind] && rapid.IntRange(0, 4).Draw(t, "named") == 0 {
				p.picks[kind] = append(p.picks[kind], j)
			}
		}
	}
	if rapid.Bool().Draw(t, "apart") {
		p.want = rapid.IntRange(0, p.stay[0]).Draw(t, "matches")
	}
	return p
}

// call adds a call of a player, as one unit.
func (p *keeping) call(r *row, part entry.Part) {
	kind := 1
	if part.IsMajor() {
		kind = 0
	}
	p.lists[kind] = append(p.lists[kind], unit{
		c: &called{row: r, Call: &Call{Player: r.player}}, p: &calledPart{term: &term{Term: &Term{Part: part}}},
	})
}

// TestKeepOfOnePlayer: every mix of nine calls of one player is worked out, not cut
// short, because that is where the ways are the most for so few calls.
func TestKeepOfOnePlayer(t *testing.T) {
	const calls = 9
	for majors := range calls + 1 {
		for matches := range calls + 1 - majors {
			p := keeping{}
			r := &row{player: "9"}
			for i := range calls {
				switch {
				case i < majors:
					p.call(r, entry.Major)
				case i < majors+matches:
					p.call(r, entry.Match)
				default:
					p.call(r, entry.Minor)
				}
			}
			p.stay = [2]int{len(p.lists[0]), len(p.lists[1])}
			for p.want = range matches + 1 {
				if _, found := p.search(p.rows(), min(p.stay[0], matches)); !found || p.work > mostWork {
					t.Errorf("%d majors, %d matches, %d minors, %d matches wanted: worked out %v", majors, matches, len(p.lists[1]), p.want, found)
				}
				p.work = 0
			}
			if majors+matches < 2 {
				continue
			}
			p.stay[0], p.want = majors+matches-1, 0
			agrees(t, &p)
		}
	}
}

// agrees holds the search against a list of every way.
func agrees(t interface {
	Helper()
	Fatalf(string, ...any)
}, p *keeping) {
	t.Helper()
	got, want := p.choose(), p.everyWay()
	for kind, list := range p.lists {
		for i, u := range list {
			if got.units[u.p] != want.units[u.p] {
				t.Fatalf("kind %d, unit %d: kept %v, the best way %v", kind, i, got.units[u.p], want.units[u.p])
			}
		}
	}
}

// TestKeepIsTheBestOfAllWays holds the search against a list of every way.
func TestKeepIsTheBestOfAllWays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawKeeping(t, 9)
		agrees(t, &p)
	})
}

// TestKeepIsBounded: however many calls a stoppage has, the work stays bounded,
// as many stay as should, and what the captain named stays first.
func TestKeepIsBounded(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawKeeping(t, rapid.SampledFrom([]int{20, 60, 150, 400}).Draw(t, "size"))
		got := p.choose()
		if p.work > mostWork {
			t.Fatalf("%d steps for %d and %d units", p.work, len(p.lists[0]), len(p.lists[1]))
		}
		for kind, list := range p.lists {
			stays := map[entry.Jersey]int{}
			n := 0
			for _, u := range list {
				if got.units[u.p] {
					n++
					stays[u.c.Player]++
				}
			}
			if n != p.stay[kind] {
				t.Fatalf("%d of kind %d stay, not %d", n, kind, p.stay[kind])
			}
			for _, j := range p.picks[kind] {
				if stays[j] == 0 {
					t.Fatalf("the captain named %s, and nothing of his stays", j)
				}
			}
		}
	})
}

// everyWay lists every way to keep units and takes the cheapest: what keep did
// before it was bounded. Two sets of one size can always be told apart.
func (p *keeping) everyWay() kept {
	best, cost := kept{units: map[*calledPart]bool{}}, []int(nil)
	for _, ma := range subsets(len(p.lists[0]), p.stay[0]) {
		for _, mi := range subsets(len(p.lists[1]), p.stay[1]) {
			if !obeys(p.lists[0], ma, p.picks[0]) || !obeys(p.lists[1], mi, p.picks[1]) {
				continue
			}
			c := p.costOf(ma, mi)
			if cost != nil && slices.Compare(c, cost) >= 0 {
				continue
			}
			best, cost = kept{units: map[*calledPart]bool{}}, c
			for kind, set := range [2][]int{ma, mi} {
				for _, i := range set {
					best.units[p.lists[kind][i].p] = true
				}
			}
		}
	}
	return best
}

func subsets(from, n int) [][]int {
	out := [][]int{}
	var walk func(at int, taken []int)
	walk = func(at int, taken []int) {
		if len(taken) == n {
			out = append(out, slices.Clone(taken))
			return
		}
		for i := at; i < from; i++ {
			walk(i+1, append(taken, i))
		}
	}
	walk(0, nil)
	return out
}

// costOf ranks a way: matches off the number wanted, skaters short, players who
// sit on and off the clock, and then the order called.
func (p *keeping) costOf(sets ...[]int) []int {
	away, matches := 0, 0
	on, off := map[*row]bool{}, map[*row]bool{}
	var order []int
	for kind, list := range p.lists {
		for i, u := range list {
			if !slices.Contains(sets[kind], i) {
				off[u.c.row] = true
				continue
			}
			on[u.c.row] = true
			order = append(order, -i)
			if u.p.term.Part == entry.Match {
				matches++
			}
		}
	}
	if p.want >= 0 {
		away = max(matches-p.want, p.want-matches)
	}
	both := 0
	for r := range on {
		if off[r] {
			both++
		}
	}
	return append([]int{away, len(on), both}, order...)
}

// obeys reports whether keeping these units is what the captain named: each
// player named keeps at least one, and others keep one only when all that the
// named have is kept.
func obeys(list units, keep []int, picks []entry.Jersey) bool {
	if len(picks) == 0 {
		return true
	}
	others, left := 0, 0
	stays := map[entry.Jersey]int{}
	for i, u := range list {
		kept, named := slices.Contains(keep, i), slices.Contains(picks, u.c.Player)
		switch {
		case kept && named:
			stays[u.c.Player]++
		case kept:
			others++
		case named:
			left++
		}
	}
	for _, j := range picks {
		if stays[j] == 0 {
			return false
		}
	}
	return others == 0 || left == 0
}
