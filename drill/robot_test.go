package drill

import (
	"encoding/json"
	"fmt"
	"testing"

	"whistlestop/card"
	"whistlestop/entry"
)

// robot plays a script as its answer says, but for what it was told to do wrong.
type robot struct {
	script Script
	ledger []entry.Entry
	acts   []Act
}

// perfect is a robot without a fault.
func perfect(s Script) *robot {
	r := &robot{script: s, ledger: s.Ledger()}
	for i, c := range s.Cues {
		r.act(Act{Do: Shown, Wall: Start + c.Real, Cue: i})
		switch c.Kind {
		case CueRunsOut:
			r.act(Act{Do: Horn, Wall: Start + c.Real + 200})
		case CueLineUp:
			r.act(Act{Do: Ready, Wall: Start + c.Real + 500})
		case CueDrop, CueArm, CueWhistle, CueSignal, CueWords, CueSits, CueCrowd, CueBreakOver, CueEnd:
		}
	}
	return r
}

func (r *robot) act(a Act) { r.acts = append(r.acts, a) }

func (r *robot) grade(tb testing.TB) Grade {
	tb.Helper()
	for i := range r.ledger {
		r.ledger[i].Seq = i + 1
	}
	g, err := Evaluate(r.script, r.ledger, r.acts)
	if err != nil {
		tb.Fatal(err)
	}
	return g
}

func TestPerfectRobot(t *testing.T) {
	d := harbour(t, "harbour-u14")
	for seed := range 200 {
		s, err := Generate(uint32(seed), 1+seed%Levels, nil, d)
		if err != nil {
			t.Fatal(seed, err)
		}
		g := perfect(s).grade(t)
		if g.Score != 100 || len(g.Findings) > 0 {
			for _, f := range g.Findings {
				fmt.Println(f.Fault, f.Skill, f.At, f.Want, f.Say)
			}
			t.Fatal(seed, g.Score)
		}
	}
}

func cardJSON(tb testing.TB, text []byte) json.RawMessage {
	tb.Helper()
	c, err := card.Parse(text, "saltworks.toml")
	if err != nil {
		tb.Fatal(err)
	}
	raw, err := json.Marshal(c)
	if err != nil {
		tb.Fatal(err)
	}
	return raw
}
