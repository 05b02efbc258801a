package drill

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"whistlestop/entry"
)

// spoil changes what a perfect robot does. It works on the entries that were not
// given.
type spoil func(r *robot)

// each changes the learner's entries of one kind of body.
func each[B entry.Body](change func(r *robot, e *entry.Entry, b B)) spoil {
	return func(r *robot) {
		for i := r.script.Given; i < len(r.ledger); i++ {
			if b, is := r.ledger[i].Body.(B); is {
				change(r, &r.ledger[i], b)
			}
		}
	}
}

// forget takes entries out.
func forget(which func(s Script, e entry.Entry) bool) spoil {
	return func(r *robot) {
		given := slices.Clone(r.ledger[:r.script.Given])
		mine := slices.DeleteFunc(slices.Clone(r.ledger[r.script.Given:]), func(e entry.Entry) bool { return which(r.script, e) })
		r.ledger = append(given, mine...)
	}
}

// later lets entries be posted later, in the order of their instants.
func later(by entry.Millis, which func(s Script, e entry.Entry) bool) spoil {
	return func(r *robot) {
		for i := r.script.Given; i < len(r.ledger); i++ {
			if which(r.script, r.ledger[i]) {
				r.ledger[i].Wall += by
			}
		}
		slices.SortStableFunc(r.ledger, func(a, b entry.Entry) int { return int(a.Wall - b.Wall) })
	}
}

func is[B entry.Body](_ Script, e entry.Entry) bool {
	_, is := e.Body.(B)
	return is
}

func cuts(kind entry.StageKind) func(Script, entry.Entry) bool {
	return func(_ Script, e entry.Entry) bool {
		b, is := e.Body.(entry.StageBegun)
		return is && b.Stage.Kind == kind
	}
}

// robots are the faults that are planted, and what each is to be told.
var robots = []struct {
	name   string
	want   Fault
	skills []Skill
	spoil  spoil
}{
	{"stops late", StopLate, nil, func(r *robot) {
		late := entry.Millis(3_000)
		each(func(_ *robot, e *entry.Entry, b entry.ClockStopped) {
			if e.Seat != entry.Program {
				e.Wall += late
				e.Body = entry.ClockStopped{Elapsed: b.Elapsed + late}
			}
		})(r)
		slices.SortStableFunc(r.ledger, func(a, b entry.Entry) int { return int(a.Wall - b.Wall) })
	}},
	{"stops early", StopEarly, nil, each(func(_ *robot, e *entry.Entry, b entry.ClockStopped) {
		if e.Seat != entry.Program {
			e.Wall -= 2_000
			e.Body = entry.ClockStopped{Elapsed: b.Elapsed - 2_000}
		}
	})},
	{"starts late", StartLate, nil, func(r *robot) {
		each(func(_ *robot, e *entry.Entry, _ entry.ClockStarted) { e.Wall += 2_500 })(r)
	}},
	{"starts early", StartEarly, nil, each(func(_ *robot, e *entry.Entry, _ entry.ClockStarted) { e.Wall -= 1_500 })},
	{"never stops the clock", StopMissing, nil, forget(func(_ Script, e entry.Entry) bool {
		_, stops := e.Body.(entry.ClockStopped)
		_, starts := e.Body.(entry.ClockStarted)
		return (stops || starts && e.At.Elapsed > 0) && e.Seat != entry.Program
	})},
	{"forgets releases", ReleaseLeft, []Skill{MinorCall, PowerPlayGoal}, forget(func(_ Script, e entry.Entry) bool {
		b, is := e.Body.(entry.Seated)
		return is && !b.In
	})},
	{"lets players out late", ReleaseLate, []Skill{MinorCall, PowerPlayGoal}, later(15_000, func(_ Script, e entry.Entry) bool {
		b, is := e.Body.(entry.Seated)
		return is && !b.In
	})},
	{"lets players out early", ReleaseEarly, []Skill{MinorCall, CarryOver}, later(-9_000, func(_ Script, e entry.Entry) bool {
		b, is := e.Body.(entry.Seated)
		return is && !b.In
	})},
	{"swaps sides of goals", GoalSide, []Skill{Score}, each(func(_ *robot, e *entry.Entry, b entry.Goal) {
		b.Side = b.Side.Other()
		e.Body = b
	})},
	{"swaps sides of calls", CallSide, []Skill{MinorCall, CarryOver}, each(func(_ *robot, e *entry.Entry, b entry.Penalty) {
		b.Side = b.Side.Other()
		e.Body = b
	})},
	{"hears wrong numbers", CallNumber, []Skill{MinorCall, CarryOver}, wrongNumbers},
	{"hears wrong scorers", GoalScorer, []Skill{Score}, each(func(_ *robot, e *entry.Entry, b entry.Goal) {
		b.Scorer = "97"
		e.Body = b
	})},
	{"forgets assists", GoalAssists, []Skill{Score}, each(func(_ *robot, e *entry.Entry, b entry.Goal) {
		if len(b.Assists) == 0 {
			b.Assists = []entry.Jersey{"96"}
		} else {
			b.Assists = nil
		}
		b.Unassisted = len(b.Assists) == 0
		e.Body = b
	})},
	{"gives wrong lengths", CallLength, []Skill{MinorCall}, each(func(_ *robot, e *entry.Entry, b entry.Penalty) {
		if len(b.Parts) == 1 && b.Parts[0] == entry.Minor {
			b.Parts = []entry.Part{entry.Major}
			e.Body = b
		}
	})},
	{"names calls wrong", CallName, []Skill{MinorCall, CarryOver}, each(func(_ *robot, e *entry.Entry, b entry.Penalty) {
		b.Call = "diving"
		e.Body = b
	})},
	{"forgets who carries over", BackMissing, []Skill{CarryOver}, forget(func(_ Script, e entry.Entry) bool {
		b, is := e.Body.(entry.Seated)
		return is && b.In && e.At.Elapsed == 0
	})},
	{"sees nobody sit down", SeatMissing, []Skill{MinorCall, PowerPlayGoal}, forget(func(_ Script, e entry.Entry) bool {
		b, is := e.Body.(entry.Seated)
		return is && b.In && e.At.Elapsed > 0
	})},
	{"forgets half of a double minor", CallDoubled, []Skill{DoubleMinor}, each(func(_ *robot, e *entry.Entry, b entry.Penalty) {
		if slices.Equal(b.Parts, []entry.Part{entry.Minor, entry.Minor}) {
			b.Parts = b.Parts[:1]
			e.Body = b
		}
	})},
	{"drops on HOLD", DropOnHold, []Skill{MinorCall, PowerPlayGoal, DoubleMinor}, later(16_000, func(_ Script, e entry.Entry) bool {
		b, is := e.Body.(entry.Seated)
		return is && b.In
	})},
	{"misses goals", GoalMissing, []Skill{Score}, forget(is[entry.Goal])},
	{"misses calls", CallMissing, []Skill{MinorCall, CarryOver}, forget(is[entry.Penalty])},
	{"enters goals twice", GoalDouble, []Skill{Score}, twice[entry.Goal]},
	{"enters calls twice", CallDouble, []Skill{MinorCall}, twice[entry.Penalty]},
	{"leaves a goal that was taken back", GoalNotBack, []Skill{TakenBack}, forget(is[entry.Struck])},
	{"leaves the clock where it is", ClockNotPut, []Skill{PutBack}, forget(is[entry.ClockSet])},
	{"forgets the horn", HornMissing, nil, func(r *robot) {
		r.acts = slices.DeleteFunc(r.acts, func(a Act) bool { return a.Do == Horn })
	}},
	{"sounds the horn late", HornLate, nil, func(r *robot) {
		for i := range r.acts {
			if r.acts[i].Do == Horn {
				r.acts[i].Wall += 5_000
			}
		}
	}},
	{"forgets intermissions", StageMissing, nil, forget(func(s Script, e entry.Entry) bool {
		rest := e.Seat == entry.Program && e.Body.(entry.ClockStopped).Elapsed == s.Division.Intermissions[0]
		return cuts(entry.Intermission)(s, e) || rest
	})},
	{"forgets time-outs", TimeOutLeft, []Skill{TimeOutCall}, forget(is[entry.TimeOut])},
	{"gives time-outs to the others", TimeOutSide, []Skill{TimeOutCall}, each(func(_ *robot, e *entry.Entry, b entry.TimeOut) {
		b.Side = b.Side.Other()
		e.Body = b
	})},
	{"forgets running time", RunningLeft, []Skill{RunningTime}, forget(is[entry.RunningTime])},
	{"is slow to be ready", ReadySlow, nil, slow},
	{"does not hear who sits", CallServer, []Skill{Misconduct}, each(func(_ *robot, e *entry.Entry, b entry.Penalty) {
		if b.ServedBy != "" {
			b.ServedBy = "95"
			e.Body = b
		}
	})},
	{"stops in running time", StopRunning, []Skill{RunningTime}, func(r *robot) {
		for i, c := range r.script.Cues {
			if c.Kind != CueWhistle || !c.Running {
				continue
			}
			next := i + 1
			for r.script.Cues[next].Kind != CueDrop {
				next++
			}
			for n, body := range []entry.Body{entry.ClockStopped{Elapsed: c.At.Elapsed}, entry.ClockStarted{Elapsed: c.At.Elapsed}} {
				e := r.ledger[0]
				e.ID, e.Seat, e.At, e.Body = fmt.Sprintf("01STOPS%018d%d", i, n), entry.ClockSeat, c.At, body
				e.Wall = Start + []entry.Millis{c.Real, r.script.Cues[next].Real}[n]
				r.ledger = append(r.ledger, e)
			}
		}
		slices.SortStableFunc(r.ledger, func(a, b entry.Entry) int { return int(a.Wall - b.Wall) })
	}},
	{"does not read the board", BoardMissing, []Skill{FollowBoard}, forget(is[entry.BoardRead])},
	{"reads the board wrong", BoardWrong, []Skill{FollowBoard}, each(func(_ *robot, e *entry.Entry, b entry.BoardRead) {
		b.Elapsed = max(0, b.Elapsed-10_000)
		e.Body = b
	})},
	{"leaves the rink card", CardSteps, []Skill{FollowBoard}, forget(is[entry.Ticked])},
	{"enters a goal that was none", GoalExtra, nil, func(r *robot) {
		var out []entry.Entry
		for i, e := range r.ledger {
			out = append(out, e)
			if b, is := e.Body.(entry.ClockStopped); is && i >= r.script.Given && e.Seat == entry.ClockSeat && b.Elapsed > 0 && !goalAt(r.script, e.At) {
				e.ID, e.Body, e.Wall = "01EXTRA"+e.ID[7:], entry.Goal{Side: entry.Home, Scorer: r.script.Home.Players[3].Number, Unassisted: true}, e.Wall+900
				out = append(out, e)
			}
		}
		r.ledger = out
	}},
	{"does not see the arm", CallSignal, []Skill{SignalledGoal}, each(func(_ *robot, e *entry.Entry, b entry.Penalty) {
		b.Signalled = false
		e.Body = b
	})},
}

// wrongNumbers hears every number of a call wrong, and believes it.
func wrongNumbers(r *robot) {
	wrong := map[entry.Jersey]entry.Jersey{}
	for i := r.script.Given; i < len(r.ledger); i++ {
		switch b := r.ledger[i].Body.(type) {
		case entry.Penalty:
			if !b.Bench {
				wrong[b.Player] = entry.Jersey([]string{"70", "71", "72", "73", "74", "75", "76", "77", "78", "79"}[len(wrong)%10])
				b.Player = wrong[b.Player]
				r.ledger[i].Body = b
			}
		case entry.Seated:
			if as, known := wrong[b.Player]; known {
				b.Player = as
				r.ledger[i].Body = b
			}
		}
	}
}

func goalAt(s Script, at entry.At) bool {
	return slices.ContainsFunc(s.Answers, func(a Answer) bool { return a.Entry.At == at && is[entry.Goal](s, a.Entry) })
}

// slow keeps the referee waiting at every line-up, so that all that follows comes
// later.
func slow(r *robot) {
	for i := len(r.script.Cues) - 1; i >= 0; i-- {
		if r.script.Cues[i].Kind != CueLineUp {
			continue
		}
		from := Start + r.script.Cues[i].Real
		for n := range r.acts {
			if r.acts[n].Wall > from {
				r.acts[n].Wall += 25_000
			}
		}
		for n := range r.ledger {
			if r.ledger[n].Wall > from {
				r.ledger[n].Wall += 25_000
			}
		}
	}
}

// twice enters everything of a kind twice.
func twice[B entry.Body](r *robot) {
	var out []entry.Entry
	for i, e := range r.ledger {
		out = append(out, e)
		if _, is := e.Body.(B); is && i >= r.script.Given {
			e.ID = strings.Replace(e.ID, "01PRACT", "01TWICE", 1)
			e.Wall += 500
			out = append(out, e)
		}
	}
	r.ledger = out
}

// TestRobotsAreToldTheirFault: a robot with one planted fault is told that fault
// first.
func TestRobotsAreToldTheirFault(t *testing.T) {
	games := 12
	if testing.Short() || underRace {
		games = 3
	}
	for _, robot := range robots {
		t.Run(robot.name, func(t *testing.T) {
			for seed := range games {
				skills := robot.skills
				if skills == nil {
					skills = []Skill{StartStop}
				}
				order := Order{Seed: uint32(100 + seed), Level: 3, Skills: skills, Division: harbour(t, "harbour-u14"), Card: rinkCard(t)}
				s, err := order.Script()
				if err != nil {
					t.Fatal(err)
				}
				r := perfect(s)
				robot.spoil(r)
				g := r.grade(t)
				if len(g.Practise) == 0 || g.Practise[0].Fault != robot.want || g.Score == 100 {
					var told []string
					for _, a := range g.Practise {
						told = append(told, string(a.Fault), a.Say.Args.Get("count"))
					}
					t.Fatalf("seed %d: told %v with %d points", 100+seed, told, g.Score)
				}
			}
		})
	}
}
