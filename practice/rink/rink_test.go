package rink

import (
	"flag"
	"fmt"
	"os"
	"slices"
	"strings"
	"sync"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
	"whistlestop/practice/maker"
	"whistlestop/practice/plot"
	"whistlestop/practice/script"
)

var update = flag.Bool("update", false, "write the files under testdata again")

// stretch is what a cue begins, as it is drawn.
type stretch struct {
	script   script.Script
	from, to int
	frames   []Frame
}

// drawn is every stretch of some scripts: the standard game, the drills, and a
// made game of every division and level.
var drawn = sync.OnceValues(func() (list []stretch, err error) {
	all, err := maker.Drills(nil)
	if err != nil {
		return nil, err
	}
	for i, division := range rulebook.Divisions() {
		s, err := maker.Generate(uint32(i), 1+i%plot.Levels, nil, division)
		if err != nil {
			return nil, err
		}
		all = append(all, s)
	}
	for _, s := range append(all, maker.Standard()) {
		p := &picture{script: s}
		for cue := range s.Cues {
			frames := Frames(s, cue)
			if expected := cue == 0 || begins(s.Cues[cue].Kind); (len(frames) > 0) != expected {
				return nil, fmt.Errorf("%s, cue %d (%s): %d frames", s.ID, cue, s.Cues[cue].Kind, len(frames))
			}
			if len(frames) > 0 {
				list = append(list, stretch{s, cue, p.until(cue), frames})
			}
		}
	}
	return list, nil
})

// stretches calls look with every stretch.
func stretches(t *testing.T, look func(s script.Script, from, to int, frames []Frame)) {
	t.Helper()
	all, err := drawn()
	if err != nil {
		t.Fatal(err)
	}
	for _, one := range all {
		look(one.script, one.from, one.to, one.frames)
	}
}

// TestNobodyLeavesTheRink: every frame is within the boards and in time, and a
// stretch fills the time from its cue to the next.
func TestNobodyLeavesTheRink(t *testing.T) {
	stretches(t, func(s script.Script, from, to int, frames []Frame) {
		if frames[0].Real != s.Cues[from].Real || frames[len(frames)-1].Real != s.Cues[to].Real {
			t.Fatalf("%s: cues %d to %d are drawn from %d to %d", s.ID, from, to, frames[0].Real, frames[len(frames)-1].Real)
		}
		before := entry.Millis(-1)
		for _, f := range frames {
			if f.Real <= before {
				t.Fatalf("%s, cue %d: a frame at %d after %d", s.ID, from, f.Real, before)
			}
			before = f.Real
			spots := []Spot{f.Puck, f.Referee}
			for _, p := range f.Players {
				spots = append(spots, p.Spot)
			}
			for _, at := range spots {
				if at != bound(at) {
					t.Fatalf("%s, cue %d: somebody is at %v", s.ID, from, at)
				}
			}
		}
	})
}

// TestAsManyPlayAsMay: at every instant of play each side has the skaters that
// its penalties leave, and nobody plays who sits in the box.
func TestAsManyPlayAsMay(t *testing.T) {
	looked := 0
	stretches(t, func(s script.Script, from, to int, frames []Frame) {
		if s.Cues[from].Kind != script.CueDrop || !begins(s.Cues[to].Kind) {
			return
		}
		state, err := s.State()
		if err != nil {
			t.Fatal(err)
		}
		abs := entry.Millis(0)
		for _, span := range state.Periods {
			if span.Period == s.Cues[to].At.Period {
				abs = span.Abs
			}
		}
		i := slices.IndexFunc(s.Moments, func(m script.Moment) bool { return m.To == from-1 })
		for n, f := range frames[:len(frames)-1] { // the last one is the whistle's
			skaters, names := [2]int{}, map[string]bool{}
			for _, p := range f.Players {
				name := fmt.Sprint(p.Side, p.Number)
				if names[name] {
					t.Fatalf("%s, cue %d: %s is there twice", s.ID, from, name)
				}
				names[name] = true
				if !p.Goalkeeper {
					skaters[p.Side.Index()]++
				}
			}
			now := abs + s.Cues[to].At.Elapsed - (s.Cues[to].Real - f.Real)
			want, sure := strength(state, now)
			if n == 0 {
				want, sure = s.Moments[i].Right.Skaters, true
			}
			if sure && skaters != want {
				t.Fatalf("%s, cue %d, %d ms: %v skaters, right is %v", s.ID, from, f.Real-frames[0].Real, skaters, want)
			}
			looked++
			if n > 0 {
				continue
			}
			for _, b := range s.Moments[i].Right.Box {
				if names[fmt.Sprint(b.Side, b.Sits)] {
					t.Fatalf("%s, cue %d: %s %s plays and sits in the box", s.ID, from, b.Side, b.Sits)
				}
			}
		}
	})
	if looked == 0 {
		t.Error("nothing was looked at")
	}
}

// strength is the skaters at a moment; it is not sure within half a second of a
// change.
func strength(state rules.State, abs entry.Millis) (n [2]int, sure bool) {
	sure = true
	for _, one := range state.Strength {
		if one.From.Abs <= abs {
			n = one.Skaters
		}
		if d := one.From.Abs - abs; d > -500 && d < 500 {
			sure = false
		}
	}
	return n, sure
}

// TestNobodyIsFasterThanPeopleAre: skaters below 11 metres in a second, the puck
// below 45 (common practice, no source), also from a stretch of play to the
// stoppage after it.
func TestNobodyIsFasterThanPeopleAre(t *testing.T) {
	var last Frame
	stretches(t, func(s script.Script, from, _ int, frames []Frame) {
		if s.Cues[from].Kind != script.CueDrop && from > 0 {
			frames = slices.Insert(slices.Clone(frames), 0, last)
		}
		for i := 1; i < len(frames); i++ {
			a, b := frames[i-1], frames[i]
			ms := int(b.Real-a.Real) + 1
			if d := distance(a.Puck, b.Puck); d*1000/ms > 4500 {
				t.Fatalf("%s, cue %d: the puck goes %d cm in %d ms", s.ID, from, d, ms)
			}
			for _, p := range append(slices.Clone(b.Players), Skater{Spot: b.Referee, Number: "referee"}) {
				before := Spot{-1, -1}
				for _, q := range append(slices.Clone(a.Players), Skater{Spot: a.Referee, Number: "referee"}) {
					if q.Side == p.Side && q.Number == p.Number {
						before = q.Spot
					}
				}
				if d := distance(before, p.Spot); before.X >= 0 && d > 10 && d*1000/ms > 1100 {
					t.Fatalf("%s, cue %d: %s %s skates %d cm in %d ms", s.ID, from, p.Side, p.Number, d, ms)
				}
			}
		}
		last = frames[len(frames)-1]
	})
}

// TestTheyStandReadyAtTheDrop: a stoppage ends as the play after it begins, but
// for those who had too far to go in the time.
func TestTheyStandReadyAtTheDrop(t *testing.T) {
	players, late := 0, 0
	var last []Frame
	stretches(t, func(s script.Script, from, _ int, frames []Frame) {
		if s.Cues[from].Kind == script.CueDrop && from > 0 {
			stopped := last[len(last)-1]
			for _, p := range frames[0].Players {
				players++
				if !slices.ContainsFunc(stopped.Players, func(q Skater) bool {
					return q.Side == p.Side && q.Number == p.Number && distance(q.Spot, p.Spot) < 150
				}) {
					late++
				}
			}
		}
		last = frames
	})
	if players == 0 || late*50 > players {
		t.Errorf("%d of %d players were not in place at the drop", late, players)
	}
}

// TestGoalsAreScored: at the whistle of a goal the puck is in the right net, and
// the scorer near enough to have shot it.
func TestGoalsAreScored(t *testing.T) {
	goals := 0
	stretches(t, func(s script.Script, from, to int, frames []Frame) {
		if s.Cues[from].Kind != script.CueDrop {
			return
		}
		p := &picture{script: s}
		for _, body := range p.happened(to) {
			g, scored := body.(entry.Goal)
			if !scored || g.OwnGoal {
				continue
			}
			goals++
			last := frames[len(frames)-1]
			net := goalOf(g.Side.Other(), left(s.Cues[to].At.Period))
			if distance(last.Puck, net) > 130 {
				t.Errorf("%s, cue %d: the puck is at %v, the goal at %v", s.ID, to, last.Puck, net)
			}
			for _, one := range last.Players {
				if one.Side == g.Side && one.Number == g.Scorer && distance(one.Spot, net) > 2300 {
					t.Errorf("%s, cue %d: %s scores from %v", s.ID, to, one.Number, one.Spot)
				}
			}
		}
	})
	if goals < 5 {
		t.Errorf("only %d goals were looked at", goals)
	}
}

// TestTheRefereeComesToTheBench: whoever hears the referee sees the mark of the
// referee at the bench.
func TestTheRefereeComesToTheBench(t *testing.T) {
	far, near := 0, 0
	stretches(t, func(s script.Script, from, to int, frames []Frame) {
		for _, c := range s.Cues[from:to] {
			if c.Kind != script.CueWords || c.By != script.ByReferee || c.Real-frames[0].Real < 4_000 {
				continue
			}
			i := slices.IndexFunc(frames, func(f Frame) bool { return f.Real >= c.Real })
			if i >= 0 && distance(frames[i].Referee, crewBench) < 300 {
				near++
			} else {
				far++
			}
		}
	})
	if near == 0 || far*20 > near {
		t.Errorf("the referee was at the bench %d times, and %d times not", near, far)
	}
}

// TestPictureOfADrill holds the picture of one short drill against the one that
// was looked at. -update writes it again.
func TestPictureOfADrill(t *testing.T) {
	s, err := maker.DrillFor(plot.MinorCall, nil)
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	for cue := range s.Cues {
		for i, f := range Frames(s, cue) {
			if i%4 > 0 {
				continue
			}
			fmt.Fprintf(&b, "%d %d puck %d,%d referee %d,%d", cue, f.Real, f.Puck.X, f.Puck.Y, f.Referee.X, f.Referee.Y)
			for _, p := range f.Players {
				fmt.Fprintf(&b, " %s%s %d,%d", p.Side[:1], p.Number, p.X, p.Y)
			}
			b.WriteByte('\n')
		}
	}
	const name = "testdata/rink_minor.golden"
	if *update {
		if err := os.MkdirAll("testdata", 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(name, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if string(want) != b.String() {
		t.Errorf("the drill is drawn in another way; look at it, then run with -update")
	}
}

func BenchmarkFrames(b *testing.B) {
	s := maker.Standard()
	for b.Loop() {
		for cue := range s.Cues {
			Frames(s, cue)
		}
	}
}
