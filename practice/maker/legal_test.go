package maker

import (
	"encoding/json"
	"errors"
	"testing"

	"pgregory.net/rapid"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
	"whistlestop/internal/proof/boxmodel"
	"whistlestop/internal/proof/openplay"
	"whistlestop/internal/proof/whole"
	"whistlestop/practice/plot"
	"whistlestop/practice/script"
)

// drawOrder orders any game, under any code.
func drawOrder(t *rapid.T) Order {
	o := Order{
		Seed: rapid.Uint32().Draw(t, "seed"), Level: rapid.IntRange(1, plot.Levels).Draw(t, "level"),
		Division: rapid.SampledFrom(rulebook.Divisions()).Draw(t, "division"),
	}
	code := rapid.SampledFrom(rulebook.Codes()).Draw(t, "code")
	o.Division.Code = code.ID
	if rapid.Bool().Draw(t, "the book's own lengths") {
		o.Division.Lengths = code.Lengths
	}
	for _, s := range plot.Skills {
		possible := s != plot.FollowBoard && (s != plot.Overtime || len(o.Division.Overtime.Periods) > 0)
		if possible && rapid.IntRange(0, 4).Draw(t, "skill") == 0 {
			o.Skills = append(o.Skills, s)
		}
	}
	return o
}

// TestGamesAreLegal: under every code, a bench without a slip is refused nothing,
// warned of nothing, and ready at every drop; nothing is owed in the end.
func TestGamesAreLegal(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		s, err := drawOrder(rt).Script()
		if err != nil {
			rt.Fatal(err)
		}
		legal(rt, s)
	})
}

func legal(t interface{ Fatalf(string, ...any) }, s script.Script) {
	ledger := s.Ledger()
	for i, e := range ledger {
		if i > 0 && e.Wall < ledger[i-1].Wall {
			t.Fatalf("%s: entry %d is older than the one before it", s.ID, i+1)
		}
		switch e.Body.(type) {
		case entry.Goal, entry.Penalty, entry.ClockStarted, entry.StageBegun, entry.Choice:
		default:
			if i%7 != 0 { // the others fall on one of the looks in time
				continue
			}
		}
		p := rules.Consider(ledger[:i], []entry.Entry{e}, e.Wall)
		if len(p.Refused) > 0 || len(p.Warnings) > 0 {
			t.Fatalf("%s: entry %d, %+v: refused %v, warned %v", s.Text(), i+1, e.Body, p.Refused, p.Warnings)
		}
	}
	state, err := rules.Fold(ledger)
	if err != nil {
		t.Fatalf("%v", err)
	}
	if len(state.Owed) > 0 || len(state.Book.Doubles) > 0 {
		t.Fatalf("%s: owed %v", s.Text(), state.Owed)
	}
	for i, m := range s.Moments {
		if i > 0 && m.From <= s.Moments[i-1].To || m.From > m.To {
			t.Fatalf("%s: stoppage %d is from cue %d to %d", s.ID, i, m.From, m.To)
		}
	}
}

// TestTwoImplementationsAgree holds the strength of generated games under every
// code, second by second, against the second model of the box.
func TestTwoImplementationsAgree(t *testing.T) {
	for _, code := range rulebook.Codes() {
		t.Run(code.ID, func(t *testing.T) {
			compared := 0
			rapid.Check(t, func(rt *rapid.T) {
				o := drawOrder(rt)
				o.Division.Code = code.ID
				s, err := o.Script()
				if err != nil {
					rt.Fatal(err)
				}
				if agree(rt, s) {
					compared++
				}
			})
			if compared == 0 {
				t.Error("no game was compared")
			}
		})
	}
}

// TestScriptsAgreeUnderEveryCode: the same for the scripts that come with the
// program, each played under every code.
func TestScriptsAgreeUnderEveryCode(t *testing.T) {
	drills, err := Drills(rinkCard(t))
	if err != nil {
		t.Fatal(err)
	}
	for _, code := range rulebook.Codes() {
		compared := 0
		for _, s := range append(drills, Standard()) {
			plot := s.Plot
			plot.Division.Code = code.ID
			played, err := Direct(plot)
			if err != nil {
				t.Errorf("%s under %s: %v", s.ID, code.ID, err)
				continue
			}
			legal(t, played)
			if agree(t, played) {
				compared++
			}
		}
		if compared < len(drills) {
			t.Errorf("under %s only %d of %d scripts were compared to the end", code.ID, compared, len(drills)+1)
		}
	}
}

// agree compares a script's game with the model. It reports whether it could.
func agree(t interface {
	Fatal(...any)
	Fatalf(string, ...any)
}, s script.Script) bool {
	state, err := s.State()
	if err != nil {
		t.Fatal(err)
	}
	code, _ := rulebook.CodeByID(s.Division.Code)
	game := boxmodel.Game{Code: code, Lengths: s.Division.Lengths, Regulation: len(s.Division.Periods)}
	begun := 0
	for _, span := range state.Periods {
		if span.Begun {
			begun = span.Period
		}
		if span.Begun || span.Period <= game.Regulation { // the model wants to know how long regulation is
			game.Periods = append(game.Periods, boxmodel.Period{Seconds: int(span.Length / 1000), Skaters: span.Skaters})
		}
	}
	for _, stop := range s.Plot.Whistles {
		at := stop.At
		for _, h := range stop.Happen {
			if h.What == plot.AClockBack {
				at.Elapsed = h.To
			}
		}
		w := boxmodel.Whistle{Period: at.Period, Second: int(at.Elapsed / 1000)}
		for _, g := range state.Goals {
			if g.Moment.Period == at.Period && g.Moment.Elapsed == at.Elapsed {
				w.Goals = append(w.Goals, entry.Goal{Side: g.Side})
			}
		}
		for _, c := range state.Calls {
			if c.Moment.Period == at.Period && c.Moment.Elapsed == at.Elapsed {
				w.Calls = append(w.Calls, penaltyOf(s, c.Entry))
			}
		}
		game.Whistles = append(game.Whistles, w)
	}
	played := game.Play()
	step, now := 0, 0
	for period, skaters := range played.Skaters[:begun] {
		for second, want := range skaters {
			for step+1 < len(state.Strength) && state.Strength[step+1].From.Abs <= entry.Millis(now)*1000 {
				step++
			}
			if got := state.Strength[step].Skaters; got != want {
				t.Fatalf("%s, period %d, second %d: the fold has %v skaters, the model %v\n%s", s.Division.Code, period+1, second, got, want, s.Text())
			}
			now++
		}
	}
	return played.Compared
}

func penaltyOf(s script.Script, id string) entry.Penalty {
	for _, a := range s.Answers {
		if p, is := a.Entry.Body.(entry.Penalty); is && a.Entry.ID == id {
			return p
		}
	}
	return entry.Penalty{}
}

// TestRatesAreThoseMeasured measures the open data again.
func TestRatesAreThoseMeasured(t *testing.T) {
	games, err := openplay.Read(openplay.Folder())
	if errors.Is(err, openplay.ErrNone) {
		t.Skip("SKIPPED:", err)
	} else if err != nil {
		t.Fatal(err)
	}
	seconds, goals, calls, whistles, called := 0, 0, 0, 0, 0
	for _, g := range games {
		length := map[int]int{1: 1200, 2: 1200, 3: 1200}
		stops, callStops := map[[2]int]bool{}, map[[2]int]bool{}
		for _, e := range g.Events {
			if e.ShootOut || e.Kind == "so" {
				continue
			}
			at := [2]int{e.Period, e.Second}
			if e.Period > 3 {
				length[e.Period] = max(length[e.Period], e.Second)
			}
			switch e.Kind {
			case "goal":
				goals++
			case "penalty":
				calls++
				callStops[at] = true
			case "fo":
				stops[at] = e.Second > 0
			}
		}
		for _, after := range stops {
			if after {
				whistles++
			}
		}
		called += len(callStops)
		for _, n := range length {
			seconds += n
		}
	}
	for _, test := range []struct {
		name        string
		count, rate int
	}{
		{"whistles", whistles, WhistlesPer100Hours}, {"goals", goals, GoalsPer100Hours},
		{"stoppages with a call", called, CalledPer100Hours}, {"calls", calls, CallsPer100Hours},
	} {
		if got := test.count * 360_000 / seconds; got < test.rate*99/100 || got > test.rate*101/100 {
			t.Errorf("%s: %d in a hundred hours, not %d", test.name, got, test.rate)
		}
	}
}

// TestGamesHaveTheRates: games that were made for no skill but the clock's have
// what was measured within an eighth, over many games.
func TestGamesHaveTheRates(t *testing.T) {
	games := 400
	if testing.Short() {
		games = 150
	}
	for _, r := range madeRates(t, games) {
		if r.made < r.rate*7/8 || r.made > r.rate*9/8 {
			t.Errorf("%s: %d in a hundred hours, not about %d", r.name, r.made, r.rate)
		}
	}
}

// rated is how often something happens in a hundred hours of play.
type rated struct {
	name       string
	made, rate int // in made games, and as measured
}

// madeRates counts what happens in made games that nothing special was put into.
func madeRates(tb testing.TB, games int) []rated {
	tb.Helper()
	d := whole.Division(tb, "harbour-u14")
	var seconds, whistles, goals, called, calls int
	for seed := range games {
		p, err := Order{Seed: uint32(seed), Level: 5, Skills: []plot.Skill{plot.StartStop}, Division: d}.plot(0)
		if err != nil {
			tb.Fatal(err)
		}
		seconds += 3 * 720
		for _, w := range p.Whistles {
			if w.At.Period > 3 {
				continue
			}
			whistles++
			has := 0
			for _, h := range w.Happen {
				if h.What == plot.AGoal {
					goals++
				}
				if h.What == plot.APenalty {
					has++
				}
			}
			calls += has
			if has > 0 {
				called++
			}
		}
	}
	per := func(count int) int { return count * 360_000 / seconds }
	return []rated{
		{"whistles", per(whistles), WhistlesPer100Hours}, {"goals", per(goals), GoalsPer100Hours},
		{"stoppages with a call", per(called), CalledPer100Hours}, {"calls", per(calls), CallsPer100Hours},
	}
}

// TestScriptsAreFixed: the same order gives the same script, byte for byte, also
// through its text and its JSON.
func TestScriptsAreFixed(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		o := drawOrder(rt)
		s, err := o.Script()
		if err != nil {
			rt.Fatal(err)
		}
		again, err := o.Script()
		if err != nil {
			rt.Fatal(err)
		}
		first, _ := json.Marshal(s)
		if second, _ := json.Marshal(again); string(first) != string(second) {
			rt.Fatal("the same order gave two scripts")
		}
		back, err := ReadJSON(first)
		if err != nil {
			rt.Fatal(err)
		}
		if third, _ := json.Marshal(back); string(third) != string(first) {
			rt.Fatal("the script is another after it was written as JSON")
		}
		o.Division.ID = "own"
		if s, err = o.Script(); err != nil {
			rt.Fatal(err)
		}
		read, err := Parse([]byte(s.Text()), "own", plot.Known{Divisions: []rulebook.Division{o.Division}})
		if err != nil {
			rt.Fatalf("%v\n%s", err, s.Text())
		}
		a, _ := json.Marshal(s)
		if b, _ := json.Marshal(read); string(a) != string(b) {
			rt.Fatalf("the script is another after it was written as text\n%s", s.Text())
		}
	})
}

// TestReplays: a ledger replayed as practice comes to the same goals and calls.
func TestReplays(t *testing.T) {
	for seed := range 20 {
		s, err := Generate(uint32(seed), 4, nil, whole.Division(t, "harbour-u14"))
		if err != nil {
			t.Fatal(err)
		}
		plot, err := FromLedger(s.Ledger(), 4)
		if err != nil {
			t.Fatal(err)
		}
		again, err := Direct(plot)
		if err != nil {
			t.Fatalf("%v\n%s", err, plot.Text())
		}
		a, _ := s.State()
		b, _ := again.State()
		if len(a.Goals) != len(b.Goals) || len(a.Calls) != len(b.Calls) || a.Teams[0].Score != b.Teams[0].Score || a.Teams[1].Score != b.Teams[1].Score {
			t.Fatalf("%d goals and %d calls became %d and %d", len(a.Goals), len(a.Calls), len(b.Goals), len(b.Calls))
		}
		for i, g := range a.Goals {
			if o := b.Goals[i]; g.Moment != o.Moment || g.Class != o.Class || g.Scorer != o.Scorer {
				t.Fatalf("goal %+v became %+v", g, o)
			}
		}
	}
}
