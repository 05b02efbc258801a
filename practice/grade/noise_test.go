package grade

import (
	"slices"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/internal/proof/whole"
	"whistlestop/practice/maker"
	"whistlestop/practice/plot"
	"whistlestop/practice/script"
)

// noisyGame is a game that was made for noise.
func noisyGame(t *testing.T, seed uint32) script.Script {
	t.Helper()
	s, err := maker.Generate(seed, 3, []plot.Skill{plot.Noise}, whole.Division(t, "harbour-u14"))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// mumbledCall is the place of the first answer whose number nobody could hear.
func mumbledCall(t *testing.T, s script.Script) int {
	t.Helper()
	at := slices.IndexFunc(s.Answers, func(a script.Answer) bool { return a.Cue >= 0 && s.Cues[a.Cue].Repeat != nil })
	if at < 0 {
		t.Fatal("no number is mumbled")
	}
	return at
}

// TestTwoThingsAtOnce: in every game that was made for noise the referee mumbles a
// number, and a coach asks for a time-out while a call is given; in many of them a
// parent asks something just then.
func TestTwoThingsAtOnce(t *testing.T) {
	const games = 40
	coach, parent, mumbled := 0, 0, 0
	for seed := range games {
		s := noisyGame(t, uint32(seed))
		has := map[script.Speaker]bool{}
		for i, c := range s.Cues[:len(s.Cues)-1] {
			if i > 0 && c.Real < s.Cues[i-1].Real {
				t.Fatalf("cue %d comes before the one before it", i)
			}
			next := s.Cues[i+1]
			if c.Noise() && next.Kind == script.CueWords && next.By == script.ByReferee && next.Real-c.Real < 1_000 {
				has[c.By] = true
			}
		}
		if s.Cues[s.Answers[mumbledCall(t, s)].Cue].Repeat != nil {
			mumbled++
		}
		if has[script.ByCoach] {
			coach++
		}
		if has[script.ByParent] {
			parent++
		}
	}
	if mumbled != games || coach != games || parent < games/3 {
		t.Errorf("of %d games %d have a mumbled number, %d a coach and %d a parent at once with the referee", games, mumbled, coach, parent)
	}
}

// TestAskingAgainIsNoSlip: whoever asks the referee to say a number again loses
// nothing; whoever enters what was not heard is told that the number is wrong, and
// sent to the drill for noise.
func TestAskingAgainIsNoSlip(t *testing.T) {
	s := noisyGame(t, 5)
	at := mumbledCall(t, s)
	r := perfect(s)
	r.act(Act{Do: Asked, Wall: script.Start + s.Cues[s.Answers[at].Cue].Real + 1_500})
	g := r.grade(t)
	points := func(g Grade) SkillScore {
		return g.Skills[slices.IndexFunc(g.Skills, func(k SkillScore) bool { return k.Skill == plot.Noise })]
	}
	if noise := points(g); g.Score != 100 || noise.Of <= CallNumber.cost() || noise.Right != noise.Of {
		t.Errorf("%d points after asking again, %+v, %+v", g.Score, noise, g.Findings)
	}
	if !slices.ContainsFunc(g.Well, func(w rules.Say) bool { return w.Key == "drill.well.noise" }) {
		t.Errorf("the noise went well, and nobody says so: %v", g.Well)
	}

	b := r.ledger[at].Body.(entry.Penalty)
	b.Player = "88"
	r.ledger[at].Body = b
	g = r.grade(t)
	if len(g.Practise) != 1 || g.Practise[0].Fault != CallNumber || g.Practise[0].Drill != "drill-noise" {
		t.Errorf("told %+v", g.Practise)
	}
	if noise := points(g); noise.Right != noise.Of-CallNumber.cost() {
		t.Errorf("the noise is %+v", noise)
	}
}

// TestACoachIsNotTheReferee: a time-out that a coach only announces, and the bench
// enters, is a slip of a bench that lost its head.
func TestACoachIsNotTheReferee(t *testing.T) {
	for seed := range uint32(60) {
		s := noisyGame(t, seed)
		at := slices.IndexFunc(s.Cues, func(c script.Cue) bool { return c.Say != nil && c.Say.Key == "drill.heard.coach_later" })
		if at < 0 {
			continue
		}
		r := perfect(s)
		e := r.ledger[0]
		e.ID, e.Seat, e.At, e.Body = "01COACH0000000000000000000", entry.ClockSeat, s.Cues[at].At, entry.TimeOut{Side: s.Cues[at].Side, Length: 30_000}
		e.Wall = script.Start + s.Cues[at].Real + 1_000
		r.ledger = append(r.ledger, e)
		r.sort()
		g := r.grade(t)
		if len(g.Practise) != 1 || g.Practise[0].Fault != TimeOutExtra || g.Practise[0].Skill != plot.Noise {
			t.Errorf("seed %d: told %+v", seed, g.Practise)
		}
		return
	}
	t.Error("no coach announced a time-out")
}

// TestRefereeSaysTheLengthOfOvertime: where minors are shorter in overtime, that is
// what the referee says.
func TestRefereeSaysTheLengthOfOvertime(t *testing.T) {
	d := whole.Division(t, "harbour-u14")
	d.Overtime.Minor = entry.Clock(1, 0)
	s, err := maker.Generate(2, 2, []plot.Skill{plot.Overtime}, d)
	if err != nil {
		t.Fatal(err)
	}
	p := s.Plot
	p.Whistles = []plot.Whistle{
		{At: entry.At{Period: 1, Elapsed: 60_000}, Why: plot.ForPenalty, Happen: []plot.Happening{{What: plot.APenalty, Penalty: &entry.Penalty{
			Side: entry.Home, Player: p.Home.Players[3].Number, Call: "tripping", Parts: []entry.Part{entry.Minor},
		}}}},
	}
	late := p.Whistles[0]
	late.At = entry.At{Period: 4, Elapsed: 60_000}
	p.Whistles = append(p.Whistles, late)
	if s, err = maker.Direct(p); err != nil {
		t.Fatal(err)
	}
	var lengths []string
	for _, c := range s.Cues {
		if c.Say != nil && c.Say.Key == "drill.heard.penalty" {
			lengths = append(lengths, c.Say.Args.Get("length"))
		}
	}
	if !slices.Equal(lengths, []string{d.Lengths.Minor.Left(), "1:00"}) {
		t.Errorf("the referee says %v", lengths)
	}
}

// TestTimesAreTaken: each start, each stop and each READY is measured from the
// drop, the whistle, and the whistle.
func TestTimesAreTaken(t *testing.T) {
	s := maker.Standard()
	r := perfect(s)
	each(func(_ *robot, e *entry.Entry, _ entry.ClockStarted) { e.Wall += 300 })(r)
	each(func(_ *robot, e *entry.Entry, b entry.ClockStopped) {
		if e.Seat != entry.Program {
			e.Wall += 200
		}
	})(r)
	r.sort()
	g := r.grade(t)
	drops, whistles := 0, 0
	for _, c := range s.Cues {
		switch c.Kind {
		case script.CueDrop:
			drops++
		case script.CueWhistle:
			whistles++
		case script.CueLineUp, script.CueArm, script.CueRunsOut, script.CueSignal, script.CueWords, script.CueSits, script.CueCrowd, script.CueBreakOver, script.CueEnd:
		}
	}
	if len(g.Times.Starts) != drops || len(g.Times.Stops) != whistles || len(g.Times.Ready) != drops || g.Score != 100 {
		t.Fatalf("%d points; %d starts, %d stops and %d times READY for %d drops and %d whistles", g.Score,
			len(g.Times.Starts), len(g.Times.Stops), len(g.Times.Ready), drops, whistles)
	}
	for _, late := range g.Times.Starts {
		if late != 300 {
			t.Errorf("a start is %d ms late", late)
		}
	}
	for _, late := range g.Times.Stops {
		if late != 200 {
			t.Errorf("a stop is %d ms late", late)
		}
	}
	for i, m := range s.Moments {
		lineUp := slices.IndexFunc(s.Cues[m.From:m.To+1], func(c script.Cue) bool { return c.Kind == script.CueLineUp })
		if lineUp < 0 {
			continue
		}
		want := s.Cues[m.From+lineUp].Real + 500 - s.Cues[m.From].Real
		if i < len(g.Times.Ready) && g.Times.Ready[i] != want {
			t.Errorf("READY at stoppage %d came after %d ms, not %d", i, g.Times.Ready[i], want)
		}
	}
}
