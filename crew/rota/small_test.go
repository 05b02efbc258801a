package rota_test

import (
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"testing"

	"whistlestop/crew/rota"
)

// made is a random problem with many clashes, one free adult and learners.
func made(random *rand.Rand, people, games int) rota.Problem {
	p := rota.Problem{
		Travel: [][]int{{0, 30}, {30, 0}}, Buffer: 15, Fair: 1 + random.IntN(6), WeekExtra: random.IntN(10), First: random.IntN(40),
	}
	families := 1 + random.IntN(people)
	for range families {
		p.Families = append(p.Families, rota.Family{Target: random.IntN(3), OneAtATime: random.IntN(2) == 0})
	}
	for range people {
		p.People = append(p.People, rota.Person{Family: random.IntN(families), DayCap: 1 + random.IntN(2), SeasonCap: 1 + random.IntN(4), New: max(0, random.IntN(5)-2)})
	}
	for range games {
		day := random.IntN(3)
		start := 600 + 45*random.IntN(5)
		p.Games = append(p.Games, rota.Game{Day: day, Week: day / 2, Rink: random.IntN(2), Start: start, End: start + 75})
	}
	for g := range p.Games {
		for range 1 + random.IntN(2) {
			slot := rota.Slot{Game: g, Empty: []int{20, 200, 1000}[random.IntN(3)]}
			for v := range p.People {
				if random.IntN(3) > 0 {
					slot.Candidates = append(slot.Candidates, rota.Candidate{
						Person: v, Cost: random.IntN(9), Role: rota.Role(random.IntN(3)),
					})
				}
			}
			p.Slots = append(p.Slots, slot)
		}
	}
	return p
}

// cheapest tries every rota. The rules are looked at only where one costs less than the
// cheapest legal one before it.
func cheapest(p rota.Problem) int {
	who := make([]int, len(p.Slots))
	best := -1
	var fill func(slot int)
	fill = func(slot int) {
		if slot == len(who) {
			if cost := p.Cost(who); (best < 0 || cost < best) && len(rota.Check(p, who)) == 0 {
				best = cost
			}
			return
		}
		who[slot] = rota.Nobody
		fill(slot + 1)
		for _, c := range p.Slots[slot].Candidates {
			who[slot] = c.Person
			fill(slot + 1)
		}
		who[slot] = rota.Nobody
	}
	fill(0)
	return best
}

func tries(t *testing.T, usual int) int {
	if n, err := strconv.Atoi(os.Getenv("WHISTLESTOP_TRIES")); err == nil {
		return n
	}
	if testing.Short() || raced {
		return usual / 10
	}
	return usual
}

// On problems small enough to try every rota the one made is the cheapest, and
// known to be.
func TestSmallProblemsAgainstEveryRota(t *testing.T) {
	for i := range tries(t, 2_000) {
		random := rand.New(rand.NewPCG(uint64(i), 7))
		p := made(random, 1+random.IntN(4), 1+random.IntN(4))
		if len(p.Slots) > 7 {
			p.Slots = p.Slots[:7]
		}
		r, err := rota.Make(p, rota.Options{Seed: uint64(i), Moves: 1_000, Steps: 200_000})
		if err != nil {
			t.Fatalf("seed %d: %v", i, err)
		}
		if faults := rota.Check(p, r.Who); len(faults) > 0 {
			t.Fatalf("seed %d: %v", i, faults)
		}
		want := cheapest(p)
		if r.Cost != want || r.Bound != want || !r.Proved || r.Cost != p.Cost(r.Who) {
			t.Fatalf("seed %d: cost %d, bound %d, the cheapest of all is %d", i, r.Cost, r.Bound, want)
		}
	}
}

// Names and the order of lists change neither legality nor the bound; the same
// input and seed give the same rota.
func TestTheSameAgainAndUnderOtherNames(t *testing.T) {
	for i := range tries(t, 300) {
		random := rand.New(rand.NewPCG(uint64(i), 8))
		p := made(random, 3+random.IntN(8), 3+random.IntN(12))
		first, err := rota.Make(p, rota.Options{Seed: 3, Moves: 2_000})
		if err != nil {
			t.Fatal(err)
		}
		again, err := rota.Make(p, rota.Options{Seed: 3, Moves: 2_000})
		if err != nil || !slices.Equal(first.Who, again.Who) {
			t.Fatalf("seed %d: made twice, %v and %v (%v)", i, first.Who, again.Who, err)
		}
		if faults := rota.Check(p, first.Who); len(faults) > 0 {
			t.Fatalf("seed %d: %v", i, faults)
		}
		if plain, err := rota.Make(p, rota.Options{}); err != nil || first.Cost > plain.Cost {
			t.Fatalf("seed %d: the search makes it dearer: %d, %d without (%v)", i, first.Cost, plain.Cost, err)
		}
		renamed, err := rota.Make(renamed(random, p), rota.Options{Seed: 3})
		if err != nil || renamed.Bound != first.Bound {
			t.Fatalf("seed %d: the bound is %d, under other names %d (%v)", i, first.Bound, renamed.Bound, err)
		}
	}
}

// renamed is a problem whose people, families, games and seats have other numbers, and
// whose lists are in another order.
func renamed(random *rand.Rand, p rota.Problem) rota.Problem {
	other := p
	people, families, games := random.Perm(len(p.People)), random.Perm(len(p.Families)), random.Perm(len(p.Games))
	other.People, other.Families, other.Games = make([]rota.Person, len(p.People)), make([]rota.Family, len(p.Families)), make([]rota.Game, len(p.Games))
	for v, person := range p.People {
		person.Family = families[person.Family]
		other.People[people[v]] = person
	}
	for f, family := range p.Families {
		other.Families[families[f]] = family
	}
	for g, game := range p.Games {
		other.Games[games[g]] = game
	}
	other.Slots = nil
	for _, s := range random.Perm(len(p.Slots)) {
		slot := p.Slots[s]
		slot.Game = games[slot.Game]
		slot.Candidates = slices.Clone(slot.Candidates)
		for k := range slot.Candidates {
			slot.Candidates[k].Person = people[slot.Candidates[k].Person]
		}
		random.Shuffle(len(slot.Candidates), func(a, b int) {
			slot.Candidates[a], slot.Candidates[b] = slot.Candidates[b], slot.Candidates[a]
		})
		other.Slots = append(other.Slots, slot)
	}
	return other
}

// Other names and another order make the rota neither dearer nor cheaper: where both are
// known to be the cheapest, they cost the same, and no bound is above the other's cost.
func TestOtherNamesCostTheSame(t *testing.T) {
	proved := 0
	count := tries(t, 100)
	for i := range count {
		random := rand.New(rand.NewPCG(uint64(i), 10))
		p := made(random, 3+random.IntN(6), 3+random.IntN(8))
		o := rota.Options{Seed: 5, Moves: 5_000, Steps: 20_000}
		first, err := rota.Make(p, o)
		if err != nil {
			t.Fatal(err)
		}
		other := renamed(random, p)
		second, err := rota.Make(other, o)
		if err != nil {
			t.Fatal(err)
		}
		if faults := rota.Check(other, second.Who); len(faults) > 0 {
			t.Fatalf("seed %d: %v", i, faults)
		}
		if first.Bound > second.Cost || second.Bound > first.Cost {
			t.Fatalf("seed %d: %d to %d, under other names %d to %d", i, first.Bound, first.Cost, second.Bound, second.Cost)
		}
		if first.Proved && second.Proved {
			if proved++; first.Cost != second.Cost {
				t.Fatalf("seed %d: it costs %d, under other names %d", i, first.Cost, second.Cost)
			}
		}
	}
	if proved < count/2 {
		t.Errorf("%d of %d are proved: too few to say anything", proved, count)
	}
}

// What somebody accepted stays, whatever it costs.
func TestFixedSlotsDoNotMove(t *testing.T) {
	for i := range tries(t, 300) {
		random := rand.New(rand.NewPCG(uint64(i), 9))
		p := made(random, 4+random.IntN(5), 4+random.IntN(6))
		first, err := rota.Make(p, rota.Options{Seed: 1, Moves: 500})
		if err != nil {
			t.Fatal(err)
		}
		for s, person := range first.Who {
			at := slices.IndexFunc(p.Slots[s].Candidates, func(c rota.Candidate) bool { return c.Person == person })
			if person == rota.Nobody || random.IntN(3) > 0 || p.Slots[s].Candidates[at].Role == rota.Learner {
				continue
			}
			p.Slots[s].Candidates = p.Slots[s].Candidates[at : at+1]
			p.Slots[s].Fixed = true // also where another seat needs its person more
		}
		again, err := rota.Make(p, rota.Options{Seed: 2, Moves: 2_000})
		if err != nil {
			t.Fatalf("seed %d: %v", i, err)
		}
		if faults := rota.Check(p, again.Who); len(faults) > 0 {
			t.Fatalf("seed %d: %v", i, faults)
		}
	}
}

func TestProblemsThatCannotBe(t *testing.T) {
	for name, change := range map[string]func(*rota.Problem){
		"a rink that is not there": func(p *rota.Problem) { p.Games[0].Rink = 7 },
		"a person of no family":    func(p *rota.Problem) { p.People[0].Family = -1 },
		"a slot of no game":        func(p *rota.Problem) { p.Slots[0].Game = 99 },
		"a candidate twice":        func(p *rota.Problem) { p.Slots[0].Candidates = []rota.Candidate{{}, {}} },
		"a fixed slot without one": func(p *rota.Problem) { p.Slots[0].Fixed, p.Slots[0].Candidates = true, nil },
		"travel from some rinks":   func(p *rota.Problem) { p.Travel = [][]int{{0}, {1, 2}} },
		"fairness that costs less": func(p *rota.Problem) { p.Fair = -1 },
		"nobody new is cheaper":    func(p *rota.Problem) { p.First = -1 },
	} {
		p := made(rand.New(rand.NewPCG(1, 1)), 4, 4)
		change(&p)
		if _, err := rota.Make(p, rota.Options{}); err == nil {
			t.Errorf("%s: a rota was made", name)
		}
	}
}
