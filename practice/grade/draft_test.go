package grade

import (
	"testing"

	"whistlestop/game/entry"
	"whistlestop/practice/maker"
	"whistlestop/practice/script"
)

// TestADraftOverTheDropIsHold: what is built and not posted when the puck drops makes it
// a drop on HOLD, once; what was posted before, or is begun in play, does not.
func TestADraftOverTheDropIsHold(t *testing.T) {
	s := maker.Check()
	drop := -1
	for i, c := range s.Cues {
		if c.Kind == script.CueDrop && i > 5 {
			drop = i
			break
		}
	}
	at := script.Start + s.Cues[drop].Real
	for _, test := range []struct {
		name      string
		from, to  entry.Millis // from the drop
		onHold    int
		lostIsOne bool
	}{
		{"built over the drop", -800, 2_000, 1, true},
		{"posted before the drop", -4_000, -500, 0, false},
		{"begun in play", 300, 900, 0, false},
	} {
		r := perfect(s).apart()
		clean := r.grade(t).Points
		r.act(Act{Do: Drafting, Wall: at + test.from})
		r.act(Act{Do: Drafted, Wall: at + test.to})
		g := r.grade(t)
		n := 0
		for _, f := range g.Findings {
			if f.Fault == DropOnHold {
				n++
			}
		}
		if n != test.onHold || len(g.Findings) != n || (g.Points < clean) != test.lostIsOne || len(g.Critical) > 0 {
			t.Errorf("%s: %d drops on HOLD, %d of %d points, %+v", test.name, n, g.Points, clean, g.Findings)
		}
	}
}
