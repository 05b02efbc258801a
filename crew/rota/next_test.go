package rota_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"whistlestop/crew/rota"
)

// The list of replacements is what trying everybody finds, at its cost, and whoever
// is not on it is kept off by a rule that is named.
func TestNextIsWhatTryingEverybodyFinds(t *testing.T) {
	for i := range tries(t, 2_000) {
		random := rand.New(rand.NewPCG(uint64(i), 11))
		p := made(random, 2+random.IntN(6), 1+random.IntN(5))
		r, err := rota.Make(p, rota.Options{Seed: uint64(i)})
		if err != nil {
			t.Fatal(err)
		}
		slot := random.IntN(len(p.Slots))
		empty := slices.Clone(r.Who)
		empty[slot] = rota.Nobody
		listed := rota.Next(p, r.Who, slot)
		for _, c := range p.Slots[slot].Candidates {
			if c.Person == r.Who[slot] {
				continue
			}
			with := slices.Clone(empty)
			with[slot] = c.Person
			faults := rota.Check(p, with)
			at := slices.IndexFunc(listed, func(one rota.Choice) bool { return one.Person == c.Person })
			if (at >= 0) != (len(faults) == 0) {
				t.Fatalf("seed %d: person %d is listed: %v; %v", i, c.Person, at >= 0, faults)
			}
			if at >= 0 && listed[at].Cost != p.Cost(with)-p.Cost(empty) {
				t.Fatalf("seed %d: person %d costs %d, not %d", i, c.Person, p.Cost(with)-p.Cost(empty), listed[at].Cost)
			}
			if named := rota.Against(p, empty, slot, c.Person); (len(named) == 0) != (len(faults) == 0) {
				t.Fatalf("seed %d: person %d: %v for %v", i, c.Person, named, faults)
			}
		}
		if !slices.IsSortedFunc(listed, func(a, b rota.Choice) int { return a.Cost - b.Cost }) {
			t.Fatalf("seed %d: %v", i, listed)
		}
	}
}

// One person away for a week, or one more game, changes at most five other duties of
// a rota that was published, and none that was accepted.
func TestAPublishedRotaStaysNearlyAsItWas(t *testing.T) {
	if testing.Short() || raced {
		t.Skip("long")
	}
	var in instance
	for _, one := range instances(t) {
		if len(one.Games) > 20 && len(one.Games) < 200 {
			in = one
		}
	}
	if in.Name == "" {
		t.Skip("the folder has no instance of middling size")
	}
	p, _ := in.problem()
	published, err := rota.Make(p, rota.Options{Seed: 1, Moves: 50_000})
	if err != nil {
		t.Fatal(err)
	}
	random := rand.New(rand.NewPCG(3, 3))
	most := 0
	for i := range 40 {
		slot := random.IntN(len(p.Slots))
		person := published.Who[slot]
		if person == rota.Nobody {
			continue
		}
		week := p.Games[p.Slots[slot].Game].Week
		now, who := p, slices.Clone(published.Who)
		now.Slots = slices.Clone(p.Slots)
		theirs := map[int]bool{}
		for s := range now.Slots {
			if p.Games[p.Slots[s].Game].Week == week {
				theirs[s] = who[s] == person
				now.Slots[s].Candidates = slices.DeleteFunc(slices.Clone(p.Slots[s].Candidates), func(c rota.Candidate) bool { return c.Person == person })
			}
		}
		accepted := map[int]bool{}
		for s, who := range who { // a third of them said yes
			if who != rota.Nobody && !theirs[s] && random.IntN(3) == 0 {
				for _, c := range now.Slots[s].Candidates {
					if c.Person == who && c.Role != rota.Learner { // package seating holds no learner: their guide may go
						now.Slots[s].Fixed, now.Slots[s].Candidates = true, []rota.Candidate{c}
						accepted[s] = true
					}
				}
			}
		}
		if i%2 == 1 { // and one more game, as the one of the slot an hour and a half later
			game := p.Games[p.Slots[slot].Game]
			game.Start, game.End = game.Start+90, game.End+90
			now.Games = append(slices.Clone(p.Games), game)
			for s := range p.Slots {
				if p.Slots[s].Game == p.Slots[slot].Game {
					more := p.Slots[s]
					more.Game = len(now.Games) - 1
					now.Slots = append(now.Slots, more)
				}
			}
		}
		again, err := rota.Make(rota.Keep(now, who, 50), rota.Options{Seed: uint64(i), Moves: 5_000})
		if err != nil {
			t.Fatal(err)
		}
		if faults := rota.Check(now, again.Who); len(faults) > 0 {
			t.Fatal(faults)
		}
		changed := 0
		for s, was := range who {
			if again.Who[s] != was && !theirs[s] {
				changed++
				if accepted[s] {
					t.Errorf("case %d: the accepted duty %d moved", i, s)
				}
			}
		}
		if changed > 5 {
			t.Errorf("case %d: %d other duties changed", i, changed)
		}
		most = max(most, changed)
	}
	t.Logf("at most %d other duties changed", most)
}

// What somebody could take is what taking it breaks no rule of.
func TestCouldIsWhatTryingFinds(t *testing.T) {
	for i := range tries(t, 1_000) {
		random := rand.New(rand.NewPCG(uint64(i), 12))
		p := made(random, 2+random.IntN(6), 1+random.IntN(5))
		r, err := rota.Make(p, rota.Options{Seed: uint64(i)})
		if err != nil {
			t.Fatal(err)
		}
		for s := range r.Who {
			if random.IntN(3) == 0 && !slices.Contains(r.Who[s:s+1], rota.Nobody) {
				r.Who[s] = rota.Nobody
			}
		}
		if len(rota.Check(p, r.Who)) > 0 {
			continue // a guide went from a learner
		}
		person := random.IntN(len(p.People))
		var want []int
		for s, who := range r.Who {
			with := slices.Clone(r.Who)
			with[s] = person
			if who == rota.Nobody && len(rota.Check(p, with)) == 0 {
				want = append(want, s)
			}
		}
		if got := rota.Could(p, r.Who, person); !slices.Equal(got, want) {
			t.Fatalf("seed %d: %v, want %v", i, got, want)
		}
	}
}

func BenchmarkNext(b *testing.B) {
	list := instances(b)
	p, _ := list[len(list)-1].problem()
	who := make([]int, len(p.Slots))
	for s := range who {
		who[s] = rota.Nobody
	}
	for b.Loop() {
		rota.Next(p, who, 7)
	}
}
