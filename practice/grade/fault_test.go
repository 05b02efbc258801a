package grade

import (
	"cmp"
	"fmt"
	"slices"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/locale"
	"whistlestop/internal/proof/whole"
	"whistlestop/practice/maker"
	"whistlestop/practice/plot"
	"whistlestop/practice/script"
)

// plant is a fault that is planted, and what the robot is to be told.
type plant struct {
	name   string
	want   Fault
	skills []plot.Skill
	spoil  spoil

	level int                        // of the games; 0: 3
	fits  func(s script.Script) bool // nil: every game does
}

// robots are the faults that are planted.
var robots = []plant{
	{name: "stops late", want: StopLate, spoil: lateStops(3_000)},
	{name: "stops early", want: StopEarly, spoil: each(func(_ *robot, e *entry.Entry, b entry.ClockStopped) {
		if e.Seat != entry.Program {
			e.Wall -= 2_000
			e.Body = entry.ClockStopped{Elapsed: b.Elapsed - 2_000}
		}
	})},
	{name: "starts late", want: StartLate, spoil: func(r *robot) {
		each(func(_ *robot, e *entry.Entry, _ entry.ClockStarted) { e.Wall += 2_500 })(r)
	}},
	{name: "starts early", want: StartEarly, spoil: each(func(_ *robot, e *entry.Entry, _ entry.ClockStarted) { e.Wall -= 1_500 })},
	{name: "never stops the clock", want: StopMissing, spoil: forget(func(_ script.Script, e entry.Entry) bool {
		_, stops := e.Body.(entry.ClockStopped)
		_, starts := e.Body.(entry.ClockStarted)
		return (stops || starts && e.At.Elapsed > 0) && e.Seat != entry.Program
	})},
	{name: "never starts the clock", want: StartMissing, spoil: forget(func(_ script.Script, e entry.Entry) bool {
		_, stops := e.Body.(entry.ClockStopped)
		return (stops || is[entry.ClockStarted](script.Script{}, e)) && e.Seat != entry.Program
	})},
	{name: "forgets releases", want: ReleaseLeft, skills: []plot.Skill{plot.MinorCall, plot.PowerPlayGoal}, spoil: forget(func(_ script.Script, e entry.Entry) bool {
		b, is := e.Body.(entry.Seated)
		return is && !b.In
	})},
	{name: "lets players out late", want: ReleaseLate, skills: []plot.Skill{plot.MinorCall, plot.PowerPlayGoal}, spoil: later(15_000, func(_ script.Script, e entry.Entry) bool {
		b, is := e.Body.(entry.Seated)
		return is && !b.In
	})},
	{name: "lets players out early", want: ReleaseEarly, skills: []plot.Skill{plot.MinorCall, plot.CarryOver}, spoil: later(-9_000, func(_ script.Script, e entry.Entry) bool {
		b, is := e.Body.(entry.Seated)
		return is && !b.In
	})},
	{name: "swaps sides of goals", want: GoalSide, skills: []plot.Skill{plot.Score}, spoil: each(func(_ *robot, e *entry.Entry, b entry.Goal) {
		b.Side = b.Side.Other()
		e.Body = b
	})},
	{name: "swaps sides of calls", want: CallSide, skills: []plot.Skill{plot.MinorCall, plot.CarryOver}, spoil: each(func(_ *robot, e *entry.Entry, b entry.Penalty) {
		b.Side = b.Side.Other()
		e.Body = b
	})},
	{name: "hears wrong numbers", want: CallNumber, skills: []plot.Skill{plot.MinorCall, plot.CarryOver}, spoil: wrongNumbers},
	{name: "hears wrong scorers", want: GoalScorer, skills: []plot.Skill{plot.Score}, spoil: each(func(_ *robot, e *entry.Entry, b entry.Goal) {
		b.Scorer = "97"
		e.Body = b
	})},
	{name: "forgets assists", want: GoalAssists, skills: []plot.Skill{plot.Score}, spoil: each(func(_ *robot, e *entry.Entry, b entry.Goal) {
		if len(b.Assists) == 0 {
			b.Assists = []entry.Jersey{"96"}
		} else {
			b.Assists = nil
		}
		b.Unassisted = len(b.Assists) == 0
		e.Body = b
	})},
	{name: "gives wrong lengths", want: CallLength, skills: []plot.Skill{plot.MinorCall}, spoil: each(func(_ *robot, e *entry.Entry, b entry.Penalty) {
		if len(b.Parts) == 1 && b.Parts[0] == entry.Minor {
			b.Parts = []entry.Part{entry.Major}
			e.Body = b
		}
	})},
	{name: "names calls wrong", want: CallName, skills: []plot.Skill{plot.MinorCall, plot.CarryOver}, spoil: each(func(_ *robot, e *entry.Entry, b entry.Penalty) {
		b.Call = "diving"
		e.Body = b
	})},
	{name: "forgets who carries over", want: BackMissing, skills: []plot.Skill{plot.CarryOver}, spoil: forget(func(_ script.Script, e entry.Entry) bool {
		b, is := e.Body.(entry.Seated)
		return is && b.In && e.At.Elapsed == 0
	})},
	{name: "sees nobody sit down", want: SeatMissing, skills: []plot.Skill{plot.MinorCall, plot.PowerPlayGoal}, spoil: forget(func(_ script.Script, e entry.Entry) bool {
		b, is := e.Body.(entry.Seated)
		return is && b.In && e.At.Elapsed > 0
	})},
	{name: "forgets half of a double minor", want: CallDoubled, skills: []plot.Skill{plot.DoubleMinor}, spoil: each(func(_ *robot, e *entry.Entry, b entry.Penalty) {
		if slices.Equal(b.Parts, []entry.Part{entry.Minor, entry.Minor}) {
			b.Parts = b.Parts[:1]
			e.Body = b
		}
	})},
	{name: "drops on HOLD", want: DropOnHold, skills: []plot.Skill{plot.MinorCall, plot.PowerPlayGoal, plot.DoubleMinor}, spoil: later(16_000, func(_ script.Script, e entry.Entry) bool {
		b, is := e.Body.(entry.Seated)
		return is && b.In
	})},
	{name: "leaves a draft over the drop", want: DropOnHold, skills: []plot.Skill{plot.MinorCall, plot.Score}, spoil: func(r *robot) {
		for i, c := range r.script.Cues {
			if c.Kind == script.CueDrop && i > 0 && !r.script.Cues[i-1].Running {
				r.act(Act{Do: Drafting, Wall: script.Start + c.Real - 700})
				r.act(Act{Do: Drafted, Wall: script.Start + c.Real + 900})
			}
		}
	}},
	{name: "misses goals", want: GoalMissing, skills: []plot.Skill{plot.Score}, spoil: forget(is[entry.Goal])},
	{name: "misses calls", want: CallMissing, skills: []plot.Skill{plot.MinorCall, plot.CarryOver}, spoil: forget(is[entry.Penalty])},
	{name: "enters goals twice", want: GoalDouble, skills: []plot.Skill{plot.Score}, spoil: twice[entry.Goal]},
	{name: "enters calls twice", want: CallDouble, skills: []plot.Skill{plot.MinorCall}, spoil: twice[entry.Penalty]},
	{name: "leaves a goal that was taken back", want: GoalNotBack, skills: []plot.Skill{plot.TakenBack}, spoil: forget(is[entry.Struck])},
	{name: "leaves the clock where it is", want: ClockNotPut, skills: []plot.Skill{plot.PutBack}, spoil: forget(is[entry.ClockSet])},
	{name: "forgets the horn", want: HornMissing, spoil: func(r *robot) {
		r.acts = slices.DeleteFunc(r.acts, func(a Act) bool { return a.Do == Horn })
	}},
	{name: "sounds the horn late", want: HornLate, spoil: func(r *robot) {
		for i := range r.acts {
			if r.acts[i].Do == Horn {
				r.acts[i].Wall += 5_000
			}
		}
	}},
	{name: "forgets intermissions", want: StageMissing, spoil: forget(func(s script.Script, e entry.Entry) bool {
		rest := e.Seat == entry.Program && e.Body.(entry.ClockStopped).Elapsed == s.Division.Intermissions[0]
		return cuts(entry.Intermission)(s, e) || rest
	})},
	{name: "forgets time-outs", want: TimeOutLeft, skills: []plot.Skill{plot.TimeOutCall}, spoil: forget(is[entry.TimeOut])},
	{name: "gives time-outs to the others", want: TimeOutSide, skills: []plot.Skill{plot.TimeOutCall}, spoil: each(func(_ *robot, e *entry.Entry, b entry.TimeOut) {
		b.Side = b.Side.Other()
		e.Body = b
	})},
	{name: "forgets running time", want: RunningLeft, skills: []plot.Skill{plot.RunningTime}, spoil: forget(is[entry.RunningTime])},
	{name: "is slow to be ready", want: ReadySlow, spoil: slow},
	{name: "does not hear who sits", want: CallServer, skills: []plot.Skill{plot.Misconduct}, spoil: each(func(_ *robot, e *entry.Entry, b entry.Penalty) {
		if b.ServedBy != "" {
			b.ServedBy = "95"
			e.Body = b
		}
	})},
	{name: "stops in running time", want: StopRunning, skills: []plot.Skill{plot.RunningTime}, spoil: func(r *robot) {
		for i, c := range r.script.Cues {
			if c.Kind != script.CueWhistle || !c.Running {
				continue
			}
			next := i + 1
			for r.script.Cues[next].Kind != script.CueDrop {
				next++
			}
			for n, body := range []entry.Body{entry.ClockStopped{Elapsed: c.At.Elapsed}, entry.ClockStarted{Elapsed: c.At.Elapsed}} {
				e := r.ledger[0]
				e.ID, e.Seat, e.At, e.Body = fmt.Sprintf("01STOPS%018d%d", i, n), entry.ClockSeat, c.At, body
				e.Wall = script.Start + []entry.Millis{c.Real, r.script.Cues[next].Real}[n]
				r.ledger = append(r.ledger, e)
			}
		}
		r.sort()
	}},
	{name: "does not read the board", want: BoardMissing, skills: []plot.Skill{plot.FollowBoard}, spoil: forget(is[entry.BoardRead])},
	{name: "reads the board wrong", want: BoardWrong, skills: []plot.Skill{plot.FollowBoard}, spoil: each(func(_ *robot, e *entry.Entry, b entry.BoardRead) {
		b.Elapsed = max(0, b.Elapsed-10_000)
		e.Body = b
	})},
	{name: "leaves the rink card", want: CardSteps, skills: []plot.Skill{plot.FollowBoard}, spoil: forget(is[entry.Ticked])},
	{name: "enters a goal that was none", want: GoalExtra, spoil: func(r *robot) {
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
	{name: "does not see the arm", want: CallSignal, skills: []plot.Skill{plot.SignalledGoal}, spoil: each(func(_ *robot, e *entry.Entry, b entry.Penalty) {
		b.Signalled = false
		e.Body = b
	})},
	{name: "does not hear how a goal came about", want: GoalHow, skills: []plot.Skill{plot.Score}, spoil: each(func(_ *robot, e *entry.Entry, b entry.Goal) {
		b.EmptyNet = true
		e.Body = b
	})},
	{name: "enters goals with the time of the next whistle", want: GoalMoment, skills: []plot.Skill{plot.Score}, level: 1, fits: goesOn(plot.AGoal), spoil: atNextWhistle[entry.Goal]},
	{name: "enters calls with the time of the next whistle", want: CallMoment, skills: []plot.Skill{plot.Coincidental}, level: 1, fits: goesOn(plot.APenalty), spoil: atNextWhistle[entry.Penalty]},
	{name: "enters a call that was none", want: CallExtra, spoil: extra(func(s script.Script, _ entry.Entry) entry.Body {
		return entry.Penalty{Side: entry.Visitors, Player: s.Visitors.Players[3].Number, Call: "tripping", Parts: []entry.Part{entry.Minor}}
	})},
	{name: "turns the order of calls about", want: CallOrder, skills: []plot.Skill{plot.DelayedThird}, level: 5, fits: calledTwice, spoil: lastCallFirst},
	{name: "lets players out who have time left", want: ReleaseWrong, skills: []plot.Skill{plot.MajorCall, plot.Misconduct}, spoil: func(r *robot) {
		each(func(r *robot, e *entry.Entry, b entry.Seated) {
			if b.In {
				r.act(Act{Do: ToldOut, Wall: e.Wall + 20_000, Side: b.Side, Player: b.Player})
			}
		})(r)
	}},
	{name: "does not enter what captains say", want: ChoiceMissing, skills: []plot.Skill{plot.Coincidental}, level: 4, fits: asked, spoil: forget(is[entry.Choice])},
	{name: "hears captains wrong", want: ChoiceWrong, skills: []plot.Skill{plot.Coincidental}, level: 4, fits: asked, spoil: otherChoice},
	{name: "stops the clock while play goes on", want: StopExtra, spoil: stopsInPlay},
	{name: "gives a coach a time-out", want: TimeOutExtra, spoil: extra(func(_ script.Script, _ entry.Entry) entry.Body {
		return entry.TimeOut{Side: entry.Home, Length: 30_000}
	})},
	{name: "turns running time on and off", want: RunningExtra, level: 1, spoil: extra(func(_ script.Script, _ entry.Entry) entry.Body {
		return entry.RunningTime{}
	})},
}

// neverFirst are the faults that no robot can be told first, and why.
var neverFirst = map[Fault]string{
	EnteredLate: "it costs nothing, so it is said at the stoppage and never as a thing to practise",
}

// TestEveryFaultHasARobot: no fault is left out.
func TestEveryFaultHasARobot(t *testing.T) {
	for _, f := range Faults {
		planted := slices.ContainsFunc(robots, func(r plant) bool { return r.want == f })
		if _, reason := neverFirst[f]; planted == reason {
			t.Errorf("%s: a robot is %v, a reason to have none is %v", f, planted, reason)
		}
		english := locale.English()
		for _, key := range []string{"drill.slip." + string(f), "drill.practise." + string(f)} {
			if f.cost() > 0 && english.Text(key, nil) == key {
				t.Errorf("nothing is said for %s", key)
			}
		}
	}
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
			played := 0
			for seed := 0; played < games && seed < 20*games; seed++ {
				skills := robot.skills
				if skills == nil {
					skills = []plot.Skill{plot.StartStop}
				}
				order := maker.Order{Seed: uint32(100 + seed), Level: cmp.Or(robot.level, 3), Skills: skills, Division: whole.Division(t, "harbour-u14"), Card: rinkCard(t)}
				s, err := order.Script()
				if err != nil {
					t.Fatal(err)
				}
				if robot.fits != nil && !robot.fits(s) {
					continue
				}
				played++
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
			if played < games {
				t.Errorf("only %d games have what it takes", played)
			}
		})
	}
}
