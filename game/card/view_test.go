package card_test

import (
	"testing"

	"whistlestop/game/card"
	"whistlestop/game/entry"
)

// TestStepsSetAside: what is left on the board waits until play goes on, or until
// something new comes up; what was set aside can be taken back like any entry.
func TestStepsSetAside(t *testing.T) {
	g := newGame(t, nil)
	g.post(entry.BenchSet{Clock: entry.Lead, WaitForTicks: true})
	g.use(saltworks(t))
	g.period(1)
	g.tickAll()
	g.play(4, 0)
	g.post(entry.Goal{Side: entry.Home, Scorer: "9"})
	if v := g.look(); !v.Holds || v.Aside {
		t.Fatalf("a goal is not on the board: holds %v, aside %v", v.Holds, v.Aside)
	}
	aside := g.post(entry.SetAside{Item: card.AsideItem})
	if v := g.look(); v.Holds || !v.Aside || v.Waiting != 1 {
		t.Errorf("set aside: holds %v, aside %v, %d wait", v.Holds, v.Aside, v.Waiting)
	}
	g.of(aside, entry.Struck{})
	if v := g.look(); !v.Holds || v.Aside {
		t.Errorf("taken back: holds %v, aside %v", v.Holds, v.Aside)
	}
	g.post(entry.SetAside{Item: card.AsideItem})
	g.post(minor(entry.Visitors, "16"))
	if v := g.look(); !v.Holds || v.Aside {
		t.Errorf("a new call: holds %v, aside %v", v.Holds, v.Aside)
	}
	g.post(entry.SetAside{Item: card.AsideItem})
	g.play(5, 0)
	if v := g.look(); !v.Holds || v.Aside {
		t.Errorf("at the next whistle: holds %v, aside %v", v.Holds, v.Aside)
	}
}

// TestLookAfterAMatch: a clock that was off by a second or more calls for a look
// at the rest of the board, until somebody ticked anything or play goes on.
func TestLookAfterAMatch(t *testing.T) {
	g := newGame(t, nil)
	g.post(entry.BenchSet{Clock: entry.Beside})
	g.use(saltworks(t))
	g.period(1)
	g.tickAll()
	match := func(minutes, seconds int) string {
		g.at.Elapsed = entry.Clock(minutes, seconds)
		return g.post(entry.BoardRead{Elapsed: g.at.Elapsed})
	}
	look := func(want bool, when string) {
		t.Helper()
		if v := g.look(); v.Look != want || v.Holds {
			t.Errorf("%s: look %v, holds %v", when, v.Look, v.Holds)
		}
	}
	g.play(4, 0)
	match(4, 0)
	look(false, "the same time")
	read := match(4, 3)
	look(true, "three seconds off")
	g.of(read, entry.Struck{})
	look(false, "the match was taken back")
	match(4, 5)
	g.post(entry.Ticked{Step: "board_check"})
	look(false, "somebody looked")
	match(4, 8)
	g.play(5, 0)
	look(false, "play has gone on")
}
