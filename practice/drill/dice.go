package drill

import (
	"math/bits"

	"whistlestop/game/dice"
)

// luck is what a script's seed decides. A script must come out alike on every
// machine, in every version of the program.
type luck struct{ dice.Dice }

// roll returns the luck of a seed and a purpose, so that a change in one place of a
// script does not move the luck of another.
func roll(seed uint32, purpose string) *luck {
	state := uint64(seed)<<32 | 0x9E37
	for _, letter := range []byte(purpose) {
		state = (state ^ uint64(letter)) * 0x100000001B3
	}
	d := &luck{dice.Dice(state)}
	d.Next()
	return d
}

// below returns a number from 0 to n-1; 0 where n is not positive.
func (d *luck) below(n int) int {
	if n <= 0 {
		return 0
	}
	hi, _ := bits.Mul64(d.Next(), uint64(n))
	return int(hi)
}

// between returns a number from low to high, both included.
func (d *luck) between(low, high int) int { return low + d.below(high-low+1) }

// chance reports true in so many of a thousand cases.
func (d *luck) chance(permille int) bool { return d.below(1000) < permille }

// pick returns one of a list.
func pick[T any](d *luck, list []T) T { return list[d.below(len(list))] }

// weighted returns an index, each as often as its weight.
func (d *luck) weighted(weights []int) int {
	sum := 0
	for _, w := range weights {
		sum += w
	}
	n := d.below(sum)
	for i, w := range weights {
		if n < w {
			return i
		}
		n -= w
	}
	return 0
}
