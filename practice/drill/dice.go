package drill

import "math/bits"

// dice are seeded random numbers (SplitMix64). The standard library's generators
// may not be used in a pure package, and a script must come out alike on every
// machine, in every version of the program.
type dice struct{ state uint64 }

// roll returns dice for a seed and a purpose, so that a change in one place of a
// script does not move the luck of another.
func roll(seed uint32, purpose string) *dice {
	state := uint64(seed)<<32 | 0x9E37
	for _, letter := range []byte(purpose) {
		state = (state ^ uint64(letter)) * 0x100000001B3
	}
	d := &dice{state}
	d.next()
	return d
}

func (d *dice) next() uint64 {
	d.state += 0x9E3779B97F4A7C15
	z := d.state
	z = (z ^ z>>30) * 0xBF58476D1CE4E5B9
	z = (z ^ z>>27) * 0x94D049BB133111EB
	return z ^ z>>31
}

// below returns a number from 0 to n-1; 0 where n is not positive.
func (d *dice) below(n int) int {
	if n <= 0 {
		return 0
	}
	hi, _ := bits.Mul64(d.next(), uint64(n))
	return int(hi)
}

// between returns a number from low to high, both included.
func (d *dice) between(low, high int) int { return low + d.below(high-low+1) }

// chance reports true in so many of a thousand cases.
func (d *dice) chance(permille int) bool { return d.below(1000) < permille }

// pick returns one of a list.
func pick[T any](d *dice, list []T) T { return list[d.below(len(list))] }

// weighted returns an index, each as often as its weight.
func (d *dice) weighted(weights []int) int {
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
