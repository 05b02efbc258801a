package rota_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"whistlestop/crew/rota"
)

// The list of swaps is what trying every other slot finds, at its cost.
func TestSwapsAreWhatTryingEverySlotFinds(t *testing.T) {
	listed := 0
	for i := range tries(t, 1_000) {
		random := rand.New(rand.NewPCG(uint64(i), 12))
		p := made(random, 2+random.IntN(6), 2+random.IntN(5))
		r, err := rota.Make(p, rota.Options{Seed: uint64(i)})
		if err != nil {
			t.Fatal(err)
		}
		slot := random.IntN(len(p.Slots))
		swaps := rota.Swaps(p, r.Who, slot)
		for other := range p.Slots {
			with := slices.Clone(r.Who)
			with[slot], with[other] = with[other], with[slot]
			may := r.Who[slot] != rota.Nobody && r.Who[other] != rota.Nobody && r.Who[slot] != r.Who[other] && len(rota.Check(p, with)) == 0
			at := slices.IndexFunc(swaps, func(one rota.Swap) bool { return one.Slot == other })
			if (at >= 0) != may {
				t.Fatalf("seed %d: slots %d and %d are listed: %v; %v", i, slot, other, at >= 0, rota.Check(p, with))
			}
			if at >= 0 {
				listed++
				if want := p.Cost(with) - p.Cost(r.Who); swaps[at].Cost != want {
					t.Fatalf("seed %d: slots %d and %d cost %d, not %d", i, slot, other, swaps[at].Cost, want)
				}
			}
		}
		if !slices.IsSortedFunc(swaps, func(a, b rota.Swap) int { return a.Cost - b.Cost }) {
			t.Fatalf("seed %d: %v", i, swaps)
		}
	}
	if listed == 0 {
		t.Error("nobody could change places with anybody")
	}
}
