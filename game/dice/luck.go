package dice

import "math/bits"

// Luck is what a seed decides for one purpose.
type Luck struct{ Dice }

// Roll returns the luck of a seed and a purpose, so that a change in one place of
// what is made does not move the luck of another.
func Roll(seed uint32, purpose string) *Luck {
	state := uint64(seed)<<32 | 0x9E37
	for _, letter := range []byte(purpose) {
		state = (state ^ uint64(letter)) * 0x100000001B3
	}
	d := &Luck{Dice(state)}
	d.Next()
	return d
}

// Below returns a number from 0 to n-1; 0 where n is not positive.
func (d *Luck) Below(n int) int {
	if n <= 0 {
		return 0
	}
	hi, _ := bits.Mul64(d.Next(), uint64(n))
	return int(hi)
}

// Between returns a number from low to high, both included.
func (d *Luck) Between(low, high int) int { return low + d.Below(high-low+1) }

// Chance reports true in so many of a thousand cases.
func (d *Luck) Chance(permille int) bool { return d.Below(1000) < permille }

// Pick returns one of a list.
func Pick[T any](d *Luck, list []T) T { return list[d.Below(len(list))] }

// Weighted returns an index, each as often as its weight.
func (d *Luck) Weighted(weights []int) int {
	sum := 0
	for _, w := range weights {
		sum += w
	}
	n := d.Below(sum)
	for i, w := range weights {
		if n < w {
			return i
		}
		n -= w
	}
	return 0
}
