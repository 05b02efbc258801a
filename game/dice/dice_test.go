package dice_test

import (
	"testing"

	"whistlestop/game/dice"
)

// The first numbers of seed 1234567, as other implementations of SplitMix64 publish
// them (Rosetta Code, "Pseudo-random numbers/Splitmix64").
func TestPublishedNumbers(t *testing.T) {
	d := dice.Dice(1234567)
	for i, want := range []uint64{6457827717110365317, 3203168211198807973, 9817491932198370423, 4593380528125082431, 16408922859458223821} {
		if got := d.Next(); got != want {
			t.Errorf("number %d is %d, want %d", i+1, got, want)
		}
	}
}

// Shares lie between 0 and 1, and each face of a die comes up about as often.
func TestBounds(t *testing.T) {
	d := dice.Dice(1)
	var faces [6]int
	for range 60_000 {
		faces[d.Below(6)]++
		if s := d.Share(); s < 0 || s >= 1 {
			t.Fatal(s)
		}
	}
	for face, n := range faces {
		if n < 9_500 || n > 10_500 {
			t.Errorf("%d came up %d times of 60000", face, n)
		}
	}
}
