package site

import (
	"fmt"
	"testing"

	"whistlestop/game/entry"
)

// All whom a hub lets follow come back within one second, each from an address of its own,
// and are let in; so are as many others a little later. Who asked too much is not forgotten.
func TestLimitsLetACrowdIn(t *testing.T) {
	now := entry.Millis(1_790_000_000_000)
	l := newLimits(func() entry.Millis { return now })
	for range 2 * signBurst {
		l.let("sign 192.0.2.1", signRate, signBurst)
	}
	for crowd := range 3 {
		for family := range followersMost {
			address := fmt.Sprint(crowd, ".", family)
			if !l.let("follow "+address, followRate, followBurst) || !l.let("ask "+address, askRate, askBurst) {
				t.Fatalf("family %d of crowd %d was sent away", family, crowd)
			}
		}
		now += 5_000
	}
	again := 0 // in the seconds that went by one more is let
	for range signBurst {
		if l.let("sign 192.0.2.1", signRate, signBurst) {
			again++
		}
	}
	if again > 1 {
		t.Error("who tried too often was forgotten")
	}
	if len(l.each) > countedMost {
		t.Errorf("%d are counted", len(l.each))
	}
}
