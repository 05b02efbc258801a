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

// drillOf is a drill.
func drillOf(t *testing.T, s plot.Skill) script.Script {
	t.Helper()
	d, err := maker.DrillFor(s, nil)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// slow plays a script without a slip, but for entries of a kind, which come later
// by so much, or not at all where it is less than nothing.
func slow(t *testing.T, s script.Script, pace run.Pace, kind entry.Kind, late entry.Millis) *robot {
	t.Helper()
	r := begin(t, practice.NewRoom(), s, entry.Solo, pace)
	r.change = func(d *deed) bool {
		if d.post == nil || d.post.Kind() != kind {
			return true
		}
		d.at += late
		d.post.Wall += late
		return late >= 0
	}
	r.play()
	return r
}

// at is the first cue of a kind from another one on.
func at(t *testing.T, s script.Script, kind script.CueKind, from int) int {
	t.Helper()
	n := slices.IndexFunc(s.Cues[from:], func(c script.Cue) bool { return c.Kind == kind })
	if n < 0 {
		t.Fatalf("%s has no %s from cue %d on", s.ID, kind, from)
	}
	return from + n
}

// apart is how much longer it was between two cues than in the script.
func (r *robot) apart(a, b int) entry.Millis {
	return r.shown[b] - r.shown[a] - (r.script.Cues[b].Real - r.script.Cues[a].Real)
}

// TestTheRefereeWaits: the puck is dropped at the script's time if the bench is
// READY; otherwise when it is, or when the referee's patience is over. What comes
// after comes so much later.
func TestTheRefereeWaits(t *testing.T) {
	s := drillOf(t, plot.MinorCall)
	whistle := at(t, s, script.CueWhistle, 0)
	line := at(t, s, script.CueLineUp, whistle)
	sits := at(t, s, script.CueSits, whistle)
	drop, end := line+1, len(s.Cues)-1
	wait := s.Cues[line].Wait
	for _, test := range []struct {
		name string
		kind entry.Kind
		late entry.Millis
		want entry.Millis // the puck, later than in the script
	}{
		{"in time", entry.KindPenalty, 0, 0},
		{"a little late", entry.KindPenalty, 1_000, 0},
		{"late", entry.KindSeated, 30_000, 30_000 - (s.Cues[drop].Real - s.Cues[sits].Real)},
		{"not seen in the box", entry.KindSeated, -1, wait - (s.Cues[drop].Real - s.Cues[line].Real)},
		{"the clock not stopped", entry.KindClockStopped, -1, wait - (s.Cues[drop].Real - s.Cues[line].Real)},
	} {
		t.Run(test.name, func(t *testing.T) {
			r := slow(t, s, run.RealPace, test.kind, test.late)
			if got := r.apart(whistle, drop); got != test.want {
				t.Errorf("the puck is dropped %d ms later, want %d", got, test.want)
			}
			if got := r.apart(drop, end); got != 0 {
				t.Errorf("after the drop it takes %d ms longer", got)
			}
		})
	}
}

// TestThePeriodEndsByTheOwnClock: at 0:00 on the learner's clock if it runs, and
// at the script's time if it does not.
func TestThePeriodEndsByTheOwnClock(t *testing.T) {
	s := drillOf(t, plot.PeriodEnd)
	out := at(t, s, script.CueRunsOut, 0)
	for late, want := range map[entry.Millis]entry.Millis{0: 0, 3_000: 3_000, -1: 0} {
		r := slow(t, s, run.RealPace, entry.KindClockStarted, late)
		if got := r.apart(out-1, out); got != want {
			t.Errorf("started %d ms late: the period ends %d ms later, want %d", late, got, want)
		}
	}
}

// TestFastLeavesOutWhatNobodyNeedsToWatch: it jumps over play to four seconds
// before the next thing; never over somebody who leaves the box; and not at all
// while the clock does not run.
func TestFastLeavesOutWhatNobodyNeedsToWatch(t *testing.T) {
	s := maker.Standard()
	r := slow(t, s, run.FastPace, entry.KindNote, 0)
	if r.jumped < s.Length/3 || len(r.jumps) == 0 {
		t.Errorf("of %s only %s are left out", s.Length, r.jumped)
	}
	var things []entry.Millis // that must be seen coming
	for i, c := range s.Cues {
		if slices.Contains([]script.CueKind{script.CueWhistle, script.CueRunsOut, script.CueArm, script.CueBreakOver}, c.Kind) {
			things = append(things, r.shown[i])
		}
	}
	for _, d := range r.done {
		if leaves, is := d.post.Body.(entry.Seated); is && !leaves.In {
			things = append(things, d.at-1_000)
		}
	}
	for _, j := range r.jumps {
		for _, thing := range things {
			if thing > j[0] && thing < j[1]+3_999 {
				t.Errorf("a jump from %s to %s leaves out what happens at %s", j[0]-noon, j[1]-noon, thing-noon)
			}
		}
	}
	if r := slow(t, s, run.FastPace, entry.KindClockStarted, -1); r.jumped > s.Length/20 {
		t.Errorf("%s are left out though the clock never ran", r.jumped)
	}
}

// TestStepWaits: at a stoppage nothing happens before the learner says so, and
// play is not held.
func TestStepWaits(t *testing.T) {
	s := drillOf(t, plot.MinorCall)
	r := begin(t, practice.NewRoom(), s, entry.Solo, run.StepPace)
	whistle := at(t, s, script.CueWhistle, 0)
	for len(r.shown) <= whistle {
		leave := run.ForNothing
		if len(r.shown) == whistle {
			leave = run.ForNext
		}
		r.step(leave)
	}
	for range 100 {
		seen := ask[practice.Seen](t, r.room, "POST", "/practice/look", struct{}{}, r.now)
		if len(seen.Shown) > 0 || seen.Waits != run.ForNext || seen.Jump > 0 {
			t.Fatalf("without a word there is %+v", seen)
		}
		r.now += 10_000
		r.do()
	}
	seen := ask[practice.Seen](t, r.room, "POST", "/practice/next", struct{}{}, r.now)
	if !slices.Equal(seen.Shown, []int{whistle + 1}) {
		t.Errorf("at a word there is %+v", seen)
	}
}

// TestTheBoxOfTheRink: whoever was called sits there, is known to be free when the
// time is over, and is gone once they were told.
func TestTheBoxOfTheRink(t *testing.T) {
	s := drillOf(t, plot.MinorCall)
	r := begin(t, practice.NewRoom(), s, entry.BoxSeat, run.RealPace)
	r.change = func(d *deed) bool {
		leaves, is := d.post.Body.(entry.Seated)
		return !is || leaves.In
	}
	sat, freed := 0, 0
	for len(r.shown) < len(s.Cues) {
		seen := r.step("")
		for _, b := range seen.Box {
			if b.Sits != "6" || b.Side != entry.Visitors {
				continue
			}
			sat++
			if len(seen.Release) == 0 {
				if b.Left > 90_000 || b.Left <= 0 {
					t.Errorf("%s are left", b.Left)
				}
				continue
			}
			freed++
			told := ask[practice.Seen](t, r.room, "POST", "/practice/act", practice.Deed{Do: grade.ToldOut, Side: b.Side, Player: b.Sits}, r.now)
			for _, cue := range told.Shown {
				r.show(cue)
			}
			if len(told.Box) != len(seen.Box)-1 || len(told.Release) != 0 {
				t.Errorf("after they were told there is %+v", told.Box)
			}
		}
	}
	if sat < 2 || freed != 1 {
		t.Errorf("seen %d times in the box, free %d times", sat, freed)
	}
	if g := ask[practice.Graded](t, r.room, "GET", "/practice/grade", nil, r.now); g.Score != 100 {
		t.Errorf("a tap on the player is graded %+v", g.Grade.Findings)
	}
}

// TestSlipsAreToldAtTheDrop: not before, once, and only those of the learner's
// seat.
func TestSlipsAreToldAtTheDrop(t *testing.T) {
	s := drillOf(t, plot.MinorCall)
	for seat, want := range map[entry.Seat]int{entry.Solo: 1, entry.BookSeat: 1} {
		r := begin(t, practice.NewRoom(), s, seat, run.RealPace)
		r.change = func(d *deed) bool {
			if d.post != nil && d.post.Kind() == entry.KindPenalty {
				call := d.post.Body.(entry.Penalty)
				call.Call = "slashing"
				d.post.Body = call
			}
			return true
		}
		told := 0
		for len(r.shown) < len(s.Cues) {
			seen := r.step("")
			if !seen.Told {
				continue
			}
			if s.Cues[seen.Cue].Kind != script.CueDrop {
				t.Errorf("told at cue %d", seen.Cue)
			}
			found := ask[practice.Told](t, r.room, "GET", "/practice/told", nil, r.now)
			if told += len(found.Findings); len(found.Findings) > 0 && found.Findings[0].Fault != grade.CallName {
				t.Errorf("told %+v", found.Findings)
			}
			if again := ask[practice.Seen](t, r.room, "POST", "/practice/look", struct{}{}, r.now); again.Told {
				t.Errorf("told twice")
			}
		}
		if told != want {
			t.Errorf("%s: told %d slips", seat, told)
		}
	}
}

// TestWhatIsWaitedFor: the clock after a drop and after a whistle, READY after the
// line-up, and nothing where all was done.
func TestWhatIsWaitedFor(t *testing.T) {
	s := drillOf(t, plot.MinorCall)
	for kind, want := range map[entry.Kind]run.Waiting{
		entry.KindClockStarted: run.ForStart, entry.KindClockStopped: run.ForStop, entry.KindSeated: run.ForReady,
		entry.KindNote: run.ForNothing,
	} {
		r := begin(t, practice.NewRoom(), s, entry.Solo, run.RealPace)
		r.change = func(d *deed) bool { return d.post == nil || d.post.Kind() != kind }
		waits := map[run.Waiting]bool{}
		for len(r.shown) < len(s.Cues) {
			before := r.now
			if seen := r.step(""); r.now > before && len(seen.Shown) == 0 {
				waits[seen.Waits] = true
			}
		}
		if want != run.ForNothing && !waits[want] || want == run.ForNothing && len(waits) > 1 {
			t.Errorf("without %s there is waited for %v", kind, waits)
		}
	}
}

// TestStepSaysStopFirst: step by step, a clock that runs on at a whistle is what is
// said first, and is told as a slip when the learner wants to go on; whoever wants to may
// go on all the same.
func TestStepSaysStopFirst(t *testing.T) {
	s := drillOf(t, plot.MinorCall)
	r := begin(t, practice.NewRoom(), s, entry.Solo, run.StepPace)
	r.change = func(d *deed) bool { return d.post == nil || d.post.Kind() != entry.KindClockStopped }
	whistle := at(t, s, script.CueWhistle, 0)
	for len(r.shown) <= whistle {
		r.step(run.ForStop)
	}
	seen := ask[practice.Seen](t, r.room, "POST", "/practice/look", struct{}{}, r.now)
	if seen.Waits != run.ForStop {
		t.Errorf("it waits for %q, want the stop", seen.Waits)
	}
	if seen = ask[practice.Seen](t, r.room, "POST", "/practice/next", struct{}{}, r.now+1); !seen.Stops || len(seen.Shown) > 0 {
		t.Errorf("at the first word there is %+v", seen)
	}
	told := ask[practice.Told](t, r.room, "GET", "/practice/told", nil, r.now+1)
	if len(told.Findings) != 1 || told.Findings[0].Fault != grade.StopMissing || told.Findings[0].Mend != grade.MendStop || !told.Stops {
		t.Errorf("told %+v", told)
	}
	seen = ask[practice.Seen](t, r.room, "POST", "/practice/next", struct{}{}, r.now+2)
	if !slices.Equal(seen.Shown, []int{whistle + 1}) {
		t.Errorf("at a word there is %+v", seen)
	}
}
