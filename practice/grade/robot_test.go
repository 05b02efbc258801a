package grade

import (
	"encoding/json"
	"maps"
	"reflect"
	"slices"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/internal/demo"
	"whistlestop/internal/proof/whole"
	"whistlestop/practice/maker"
	"whistlestop/practice/plot"
	"whistlestop/practice/script"
)

// robot plays a script as its answer says, but for what it was told to do wrong.
type robot struct {
	script script.Script
	ledger []entry.Entry
	acts   []Act
}

// perfect is a robot without a fault.
func perfect(s script.Script) *robot {
	r := &robot{script: s, ledger: s.Ledger()}
	for i, c := range s.Cues {
		r.act(Act{Do: Shown, Wall: script.Start + c.Real, Cue: i})
		switch c.Kind {
		case script.CueRunsOut:
			r.act(Act{Do: Horn, Wall: script.Start + c.Real + 200})
		case script.CueLineUp:
			r.act(Act{Do: Ready, Wall: script.Start + c.Real + 500})
		case script.CueDrop, script.CueArm, script.CueWhistle, script.CueSignal, script.CueWords, script.CueSits, script.CueCrowd, script.CueBreakOver, script.CueEnd:
		}
	}
	return r
}

func (r *robot) act(a Act) { r.acts = append(r.acts, a) }

// sort puts the ledger into the order of its instants.
func (r *robot) sort() {
	slices.SortStableFunc(r.ledger, func(a, b entry.Entry) int { return int(a.Wall - b.Wall) })
}

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

// TestPerfectRobot: whoever does all that a script asks for has 100 and hears of
// no slip, in a thousand games of every level and division and under every code.
func TestPerfectRobot(t *testing.T) {
	games := 1000
	switch {
	case underRace:
		games = 60
	case testing.Short():
		games = 150
	}
	divisions, codes := rulebook.Divisions(), rulebook.Codes()
	for seed := range games {
		d := divisions[seed%len(divisions)]
		d.Code = codes[seed/len(divisions)%len(codes)].ID
		s, err := maker.Generate(uint32(seed), 1+seed/7%plot.Levels, nil, d)
		if err != nil {
			t.Fatal(seed, err)
		}
		r := perfect(s)
		if g := r.grade(t); g.Score != 100 || len(g.Findings) > 0 || len(g.Practise) > 0 || !g.Complete {
			t.Fatalf("game %d: %d points, told %+v\n%s", seed, g.Score, g.Findings, s.Text())
		}
	}
}

// TestPerfectOnEveryScript: the same for the scripts that come with the program,
// also as far as each stoppage, and without a word of what was shown.
func TestPerfectOnEveryScript(t *testing.T) {
	drills, err := maker.Drills(rinkCard(t))
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range append(drills, maker.Standard()) {
		r := perfect(s)
		before, k := 0, NewGrader(s)
		for _, m := range s.Moments {
			n := 0
			for n < len(r.ledger) && (n < s.Given || r.ledger[n].Wall <= script.Start+s.Cues[m.To].Real+4_000) {
				n++
			}
			g, err := EvaluateUpTo(s, r.ledger[:n], r.acts, m.To)
			if err != nil {
				t.Fatal(err)
			}
			if len(g.Findings) > 0 || g.Possible < before {
				t.Errorf("%s up to cue %d: %+v", s.ID, m.To, g.Findings)
			}
			if kept, err := k.UpTo(r.ledger[:n], r.acts, m.To); err != nil || !reflect.DeepEqual(kept, g) {
				t.Errorf("%s up to cue %d: who graded it before has %+v, %v", s.ID, m.To, kept, err)
			}
			before = g.Possible
		}
		if before == 0 {
			t.Errorf("%s asks for nothing", s.ID)
		}
		r.acts = nil
		if g := r.grade(t); g.Score != 100 || len(g.Findings) > 0 {
			t.Errorf("%s without acts: %+v", s.ID, g.Findings)
		}
	}
}

// TestLateIsRightInTheEnd: a goal that was forgotten and entered two stoppages
// later, and a number that was put right, count as right; the slip is said.
func TestLateIsRightInTheEnd(t *testing.T) {
	s := maker.Standard()
	r := perfect(s)
	late, amended := 0, 0
	var fixes []entry.Entry
	for i := s.Given; i < len(r.ledger); i++ {
		e := &r.ledger[i]
		switch b := e.Body.(type) {
		case entry.Goal:
			if late == 0 {
				late++
				e.Wall += 90_000
			}
		case entry.Penalty:
			if amended == 0 && !b.Bench && len(b.Parts) == 1 {
				amended++
				fix := *e
				fix.ID, fix.Of, fix.Wall, fix.Body = "01FIXED0000000000000000000", e.ID, e.Wall+1_000, entry.Amended{To: b}
				fixes = append(fixes, fix)
				b.Player = "99"
				e.Body = b
			}
		}
	}
	r.ledger = append(r.ledger, fixes...)
	slices.SortStableFunc(r.ledger, func(a, b entry.Entry) int { return int(a.Wall - b.Wall) })
	g := r.grade(t)
	if g.Score != 100 || len(g.Findings) != 2 {
		t.Fatalf("%d points, %+v", g.Score, g.Findings)
	}
	for _, f := range g.Findings {
		if f.Fault != EnteredLate || !f.Finally || f.Cost != 0 {
			t.Errorf("%+v", f)
		}
	}
}

// TestSlipsAreToldAtOnce: at the drop after a slip, the newest findings are those
// of that stoppage, with the reason and the right state.
func TestSlipsAreToldAtOnce(t *testing.T) {
	s, err := maker.DrillFor(plot.TwoOnOne, nil)
	if err != nil {
		t.Fatal(err)
	}
	r := perfect(s)
	for i := s.Given; i < len(r.ledger); i++ {
		if b, is := r.ledger[i].Body.(entry.Penalty); is && b.Player == "12" {
			b.Player = "14"
			r.ledger[i].Body = b
		}
	}
	g, err := EvaluateUpTo(s, r.ledger, r.acts, s.Moments[2].To)
	if err != nil {
		t.Fatal(err)
	}
	told := g.Latest()
	if len(told) != 1 || told[0].Fault != CallNumber || told[0].Moment != 2 || told[0].Reason == nil || told[0].Reason.Rule == "" ||
		told[0].Right.Skaters != [2]int{3, 4} || len(told[0].Right.Box) != 3 {
		t.Errorf("told %+v", told)
	}
}

// TestNothingEntered: whoever does nothing has nothing, and the grade is whole.
func TestNothingEntered(t *testing.T) {
	s := maker.Standard()
	g, err := Evaluate(s, s.GivenLedger(), nil)
	if err != nil {
		t.Fatal(err)
	}
	if g.Score > 25 || len(g.Practise) != 3 {
		t.Errorf("%d points, %+v", g.Score, g.Practise)
	}
}

func BenchmarkGenerate(b *testing.B) {
	d := whole.Division(b, "harbour-u14")
	for i := 0; b.Loop(); i++ {
		if _, err := maker.Generate(uint32(i), 3, nil, d); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkEvaluate(b *testing.B) {
	r := perfect(maker.Standard())
	for b.Loop() {
		if _, err := Evaluate(r.script, r.ledger, r.acts); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkEvaluateUpTo is what a screen waits for at a drop in the middle of a
// game.
func BenchmarkEvaluateUpTo(b *testing.B) {
	r := perfect(maker.Standard())
	half := len(r.script.Moments) / 2
	k := NewGrader(r.script)
	if _, err := k.UpTo(r.ledger, r.acts, r.script.Moments[half].To); err != nil {
		b.Fatal(err)
	}
	before := maps.Clone(k.said)
	for b.Loop() {
		k.said = maps.Clone(before)
		if _, err := k.UpTo(r.ledger, r.acts, r.script.Moments[half+1].To); err != nil {
			b.Fatal(err)
		}
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
