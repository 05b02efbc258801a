package run

import (
	"encoding/json"
	"slices"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/internal/demo"
	"whistlestop/practice/maker"
	"whistlestop/practice/script"
)

// TestWhoSitsWhenTheLearnerTakesOver: before the first cue the box of the rink
// holds who sits there already.
func TestWhoSitsWhenTheLearnerTakesOver(t *testing.T) {
	drills, err := maker.Drills(rinkCard(t))
	if err != nil {
		t.Fatal(err)
	}
	sat := 0
	for _, s := range drills {
		run := NewRun(s, RealPace, entry.Solo, script.Start-1)
		state, err := rules.Fold(run.Given())
		if err != nil {
			t.Fatal(err)
		}
		g := run.Look(script.Start-2, Sight{State: state})
		if len(g.Shown) > 0 {
			t.Fatalf("%s shows cues %v before it begins", s.ID, g.Shown)
		}
		var want []entry.Jersey
		for _, b := range s.Moments[0].Right.Box {
			if !b.Starts {
				want = append(want, b.Sits)
			}
		}
		var got []entry.Jersey
		for _, b := range g.Box {
			got = append(got, b.Sits)
		}
		if !slices.Equal(got, want) {
			t.Errorf("%s: %v sit in the box, want %v", s.ID, got, want)
		}
		sat += len(got)
	}
	if sat == 0 {
		t.Error("nobody sits in any box when a drill begins")
	}
}

// rinkCard is the invented card of the demonstration.
func rinkCard(tb testing.TB) json.RawMessage {
	tb.Helper()
	raw, err := json.Marshal(demo.Card().Card)
	if err != nil {
		tb.Fatal(err)
	}
	return raw
}
