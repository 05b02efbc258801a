package grade

import (
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/practice/maker"
	"whistlestop/practice/plot"
	"whistlestop/practice/script"
)

// told is the perfect answer of a script, but for when somebody is told to leave:
// so much later than the answer.
func told(t *testing.T, s script.Script, later entry.Millis) Grade {
	t.Helper()
	r := perfect(s)
	moved := 0
	for i := s.Given; i < len(r.ledger); i++ {
		if b, is := r.ledger[i].Body.(entry.Seated); is && !b.In {
			r.ledger[i].Wall += later
			moved++
		}
	}
	if moved == 0 {
		t.Fatalf("nobody leaves the box in %s", s.ID)
	}
	r.sort()
	return r.grade(t)
}

// TestNobodyIsLateForAGoal: a goal frees somebody at the whistle, and the bench
// hears of it later. It is not late to act on what was said.
func TestNobodyIsLateForAGoal(t *testing.T) {
	s, err := maker.DrillFor(plot.PowerPlayGoal, nil)
	if err != nil {
		t.Fatal(err)
	}
	said := entry.Millis(0)
	for _, a := range s.Answers {
		if a.Entry.Kind() == entry.KindGoal {
			for _, m := range s.Moments {
				if m.From <= a.Cue {
					said = s.Cues[a.Cue].Real - s.Cues[m.From].Real
				}
			}
		}
	}
	if said < script.LateRelease+1_000 {
		t.Fatalf("the goal is said after %s, so this shows nothing", said)
	}
	for later, want := range map[entry.Millis]int{0: 0, said: 0, said + 3_900: 0, said + 5_000: 1} {
		g := told(t, s, later)
		if len(g.Findings) != want || want > 0 && g.Findings[0].Fault != ReleaseLate {
			t.Errorf("%s after the whistle: %+v", later+script.ReleaseAfter, g.Findings)
		}
	}
}

// TestReleaseByTheOwnClock: whoever starts the clock late is told so, and is right
// to let somebody out when the own clock says it.
func TestReleaseByTheOwnClock(t *testing.T) {
	s, err := maker.Parse([]byte(strings.Join([]string{
		"practice 1", "id own-clock", "title Own clock", "level 2", "seed 1", "division harbour-u14", "drill yes", "begin 1 7:40",
		"home Kelp Bay: 1g 4 5 7 8 9 11 12", "visitors Lanternside: 2 3 6 8 9 10 13 30g",
		"period 1", "8:55 penalty visitors 6 tripping minor", "7:40 puck", "6:50 puck",
	}, "\n")), "own", plot.Known{Divisions: rulebook.Divisions()})
	if err != nil {
		t.Fatal(err)
	}
	const late = 8_000
	r := perfect(s)
	started := 0
	for i := s.Given; i < len(r.ledger); i++ {
		switch b := r.ledger[i].Body.(type) {
		case entry.ClockStarted:
			if started++; started == 1 {
				r.ledger[i].Wall += late
			}
		case entry.ClockStopped:
			if started == 1 {
				b.Elapsed -= late
				r.ledger[i].Body = b
			}
		case entry.Seated:
			if !b.In {
				r.ledger[i].Wall += late
			}
		}
	}
	r.sort()
	g := r.grade(t)
	for _, f := range g.Findings {
		if f.Fault != StartLate {
			t.Errorf("told %+v", f)
		}
	}
	if len(g.Findings) != 1 {
		t.Errorf("%d slips", len(g.Findings))
	}
}
