package practice_test

import (
	"slices"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/practice"
	"whistlestop/practice/grade"
	"whistlestop/practice/maker"
	"whistlestop/practice/plot"
	"whistlestop/practice/run"
	"whistlestop/practice/script"
)

// TestSlipsStopTheGame: step by step the game stands still for a slip as soon as it was
// made, once, with how it is put right; and before the puck drops for what is missing.
func TestSlipsStopTheGame(t *testing.T) {
	minor, score := drillOf(t, plot.MinorCall), drillOf(t, plot.Score)
	for _, test := range []struct {
		name   string
		script script.Script
		change func(*deed) bool
		fault  grade.Fault
		mend   grade.Mend
	}{
		{"another number", minor, onPost(func(e *entry.Entry, b entry.Penalty) bool {
			b.Player = "9"
			e.Body = b
			return true
		}), grade.CallNumber, grade.MendChange},
		{"the other side", score, onPost(func(e *entry.Entry, b entry.Goal) bool {
			b.Side, b.Assists, b.Scorer = b.Side.Other(), nil, "2"
			e.Body = b
			return true
		}), grade.GoalSide, grade.MendChange},
		{"no penalty", minor, onPost(func(*entry.Entry, entry.Penalty) bool { return false }), grade.CallMissing, grade.MendEnter},
		{"nobody looks at the box", minor, onPost(func(_ *entry.Entry, b entry.Seated) bool { return !b.In }), grade.SeatMissing, grade.MendSeat},
		{"late at the whistle", minor, onPost(func(e *entry.Entry, _ entry.ClockStopped) bool {
			e.Wall += 2_400
			return true
		}), grade.StopLate, grade.MendClock},
	} {
		t.Run(test.name, func(t *testing.T) {
			r := begin(t, practice.NewRoom(), test.script, entry.Solo, run.StepPace)
			r.change = test.change
			r.play()
			var told []string
			for _, stop := range r.stops {
				for _, f := range stop.Findings {
					key := string(f.Fault) + f.Want + f.Entry
					if slices.Contains(told, key) {
						t.Errorf("%s is told again", key)
					}
					told = append(told, key)
				}
			}
			if len(r.stops) == 0 {
				t.Fatal("nothing stopped the game")
			}
			first := r.stops[0]
			at := slices.IndexFunc(first.Findings, func(f grade.Finding) bool { return f.Fault == test.fault })
			if at < 0 || first.Findings[at].Mend != test.mend {
				t.Errorf("it stood still for %+v", first.Findings)
			}
		})
	}
}

// onPost changes what is posted of one kind of body.
func onPost[B entry.Body](change func(*entry.Entry, B) bool) func(*deed) bool {
	return func(d *deed) bool {
		if d.post == nil {
			return true
		}
		b, is := d.post.Body.(B)
		if !is {
			return true
		}
		keep := change(d.post, b)
		d.at = d.post.Wall
		return keep
	}
}

// TestStartsAreToldAtTheNextStoppage: a clock that was started late, early or never is
// told at the stoppage that follows, at every pace; it stops the game where that goes
// step by step.
func TestStartsAreToldAtTheNextStoppage(t *testing.T) {
	for _, pace := range run.Paces {
		r := begin(t, practice.NewRoom(), maker.Check(), entry.ClockSeat, pace)
		n := 0
		r.change = onPost(func(e *entry.Entry, _ entry.ClockStarted) bool {
			if n++; n == 2 {
				e.Wall += 2_000
			}
			return true
		})
		var told []practice.Told
		for {
			seen := r.step("")
			if seen.Told && r.pace != run.StepPace {
				told = append(told, ask[practice.Told](t, r.room, "GET", "/practice/told", nil, r.now))
			}
			if seen.Over {
				break
			}
		}
		told = append(told, r.stops...)
		var found []practice.Told
		for _, one := range told {
			if one.Start && len(one.Findings) > 0 {
				found = append(found, one)
			}
		}
		if len(found) != 1 || found[0].Findings[0].Fault != grade.StartLate || found[0].Moment != 1 || found[0].Stops != (pace == run.StepPace) {
			t.Errorf("%s: told %+v", pace, found)
		}
	}
}

// TestADraftHolds: what is built and not posted counts as HOLD, so the referee waits; when
// patience is over the puck drops, and that is said.
func TestADraftHolds(t *testing.T) {
	s := drillOf(t, plot.Score)
	for _, gone := range []bool{true, false} {
		r := begin(t, practice.NewRoom(), s, entry.Solo, run.FastPace)
		var line entry.Millis
		held, dropped := false, false
		for {
			seen := r.step("")
			newest := s.Cues[max(0, len(r.shown)-1)]
			if line == 0 && newest.Kind == script.CueLineUp && seen.Done > 0 && len(r.plan) == 0 {
				line = r.now
				ask[practice.Seen](t, r.room, "POST", "/practice/act", practice.Deed{Do: grade.Drafting}, r.now)
				continue // and looks again
			}
			if line > 0 && !dropped && newest.Kind == script.CueLineUp {
				held = held || seen.Waits == run.ForPost && seen.Hint == run.HintPost
				if gone && r.now > line+10_000 {
					seen = ask[practice.Seen](t, r.room, "POST", "/practice/act", practice.Deed{Do: grade.Drafted}, r.now)
					for _, cue := range seen.Shown {
						r.show(cue)
					}
					newest = s.Cues[len(r.shown)-1]
				}
			}
			if line > 0 && !dropped && newest.Kind == script.CueDrop {
				dropped = true
				waited := r.now - line
				if seen.OnHold == gone || gone && waited > 25_000 || !gone && waited < 40_000 {
					t.Errorf("put away: %v; the puck dropped after %s, on HOLD: %v", gone, waited, seen.OnHold)
				}
			}
			if seen.Over {
				break
			}
		}
		told := 0
		for _, f := range ask[practice.Graded](t, r.room, "GET", "/practice/grade", nil, r.now).Grade.Findings {
			if f.Fault == grade.DropOnHold {
				told++
			}
		}
		if gone && told > 0 || !gone && told != 1 {
			t.Errorf("put away: %v; %d drops on HOLD are graded", gone, told)
		}
		if !held || !dropped {
			t.Errorf("the referee waited: %v, dropped: %v", held, dropped)
		}
	}
}

// TestNobodyLooksAtAnEmptyRink: there is something to do within three seconds of the
// beginning at every pace, also the one that is then as long as a game.
func TestNobodyLooksAtAnEmptyRink(t *testing.T) {
	for _, s := range scripts(t) {
		for _, pace := range run.Paces {
			r := begin(t, practice.NewRoom(), s, entry.Solo, pace)
			first := 0 // the cue that asks for something: the line-up alone does not
			if s.Cues[0].Kind == script.CueLineUp {
				first = 1
			}
			for len(r.shown) <= first && r.step(run.ForNext).Waits == run.ForNothing {
			}
			if took := r.shown[min(first, len(r.shown)-1)] - noon; took > 3_100 {
				t.Errorf("%s at %s: nothing for %s", s.ID, pace, took)
			}
		}
	}
}

// TestNoPuckInATimeOut: while a time-out counts the bench says HOLD, so the puck waits for
// its end also where it was entered late.
func TestNoPuckInATimeOut(t *testing.T) {
	s := drillOf(t, plot.TimeOutCall)
	for _, pace := range []run.Pace{run.FastPace, run.StepPace} {
		r := begin(t, practice.NewRoom(), s, entry.Solo, pace)
		var until entry.Millis
		r.change = onPost(func(e *entry.Entry, b entry.TimeOut) bool {
			e.Wall += 8_000
			until = e.Wall + b.Length
			return true
		})
		r.play()
		for i, c := range s.Cues {
			if c.Kind == script.CueDrop && until > 0 && r.shown[i] > until-30_000 {
				if off := r.shown[i] - until; off < 0 || off > 2_000 {
					t.Errorf("%s: the puck dropped %s after the time-out", pace, off)
				}
				until = 0
			}
		}
		if until > 0 || len(r.stops) > 0 {
			t.Errorf("%s: no puck dropped after a time-out; it stood still for %+v", pace, r.stops)
		}
	}
}

// TestTheFirstTouchCounts: what stands in the ledger before a learner begins is old by
// then; a clock that another hand has just touched would not take the learner's.
func TestTheFirstTouchCounts(t *testing.T) {
	for _, s := range scripts(t) {
		for _, pace := range run.Paces {
			for _, e := range run.NewRun(s, pace, entry.Solo, noon).Given() {
				if e.Wall > noon+1_500-s.Cues[0].Real || e.Wall > noon {
					t.Errorf("%s at %s: %s was entered %s after the beginning", s.ID, pace, e.Kind(), e.Wall-noon)
				}
			}
		}
	}
}
