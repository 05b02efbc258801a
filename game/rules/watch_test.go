package rules_test

import (
	"slices"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
)

func keys(items []rules.Item) (out []string) {
	for _, item := range items {
		out = append(out, item.Say.Key)
	}
	return out
}

// goals posts n goals of a side, a minute apart from the given minute on.
func (g *game) goals(side entry.Side, period, minute, n int) {
	for i := range n {
		g.post(entry.At{Period: period, Elapsed: entry.Clock(minute+i, 0)}, entry.Goal{Side: side, Scorer: "9"})
	}
}

// TestRunningTime follows common practice, no source: running time once the
// lead is more than six goals, the referee warned at a lead of five or six; and
// the published variants that go back, or not.
func TestRunningTime(t *testing.T) {
	for name, c := range map[string]struct {
		rule    rulebook.Running
		play    func(*game)
		hold    string
		notices string
	}{
		"far from it":      {rulebook.Running{Lead: 7}, func(g *game) { g.goals(entry.Home, 1, 1, 3) }, "", ""},
		"two goals before": {rulebook.Running{Lead: 7}, func(g *game) { g.goals(entry.Home, 1, 1, 5) }, "", "notice.running"},
		"one goal before":  {rulebook.Running{Lead: 7}, func(g *game) { g.goals(entry.Home, 1, 1, 6) }, "", "notice.running"},
		"reached":          {rulebook.Running{Lead: 7}, func(g *game) { g.goals(entry.Visitors, 1, 1, 7) }, "hold.running_on", ""},
		"too early":        {rulebook.Running{Lead: 7, FromPeriod: 3}, func(g *game) { g.goals(entry.Home, 1, 1, 9) }, "", ""},
		"ends the game":    {rulebook.Running{Lead: 6, EndsGame: true}, func(g *game) { g.goals(entry.Home, 1, 1, 6) }, "hold.lead_ends", ""},
		"on": {rulebook.Running{Lead: 7}, func(g *game) {
			g.goals(entry.Home, 1, 1, 7)
			g.post(entry.At{Period: 1}, entry.RunningTime{On: true})
		}, "", ""},
		"goes back below": {rulebook.Running{Lead: 7, Returns: rulebook.ReturnsBelow}, func(g *game) {
			g.goals(entry.Home, 1, 1, 7)
			g.post(entry.At{Period: 1}, entry.RunningTime{On: true})
			g.goals(entry.Visitors, 1, 10, 1)
		}, "hold.running_off", ""},
		"goes back when closed only": {rulebook.Running{Lead: 2, Returns: rulebook.ReturnsClosed}, func(g *game) {
			g.goals(entry.Home, 1, 1, 2)
			g.post(entry.At{Period: 1}, entry.RunningTime{On: true})
			g.goals(entry.Visitors, 1, 10, 1)
		}, "", ""},
		"closed": {rulebook.Running{Lead: 2, Returns: rulebook.ReturnsClosed}, func(g *game) {
			g.goals(entry.Home, 1, 1, 2)
			g.post(entry.At{Period: 1}, entry.RunningTime{On: true})
			g.goals(entry.Visitors, 1, 10, 2)
		}, "hold.running_off", ""},
		"never goes back": {rulebook.Running{Lead: 2, Returns: rulebook.ReturnsNever}, func(g *game) {
			g.goals(entry.Home, 1, 1, 2)
			g.post(entry.At{Period: 1}, entry.RunningTime{On: true})
			g.goals(entry.Visitors, 1, 10, 2)
		}, "", ""},
		"set aside": {rulebook.Running{Lead: 2}, func(g *game) {
			g.goals(entry.Home, 1, 1, 2)
			g.post(entry.At{Period: 1}, entry.SetAside{Item: "running/2-0"})
		}, "", ""},
	} {
		t.Run(name, func(t *testing.T) {
			d := newGame(t, "usah-youth").division
			d.Running = c.rule
			g := openGame(t, d)
			g.begin(1)
			c.play(g)
			state := mustFold(t, g.ledger)
			if got := slices.Concat([]string{}, keys(state.Hold)); c.hold != "" && !slices.Contains(got, c.hold) || c.hold == "" && len(got) > 0 {
				t.Errorf("holds for %v, want %q", got, c.hold)
			}
			if got := keys(state.Notices); c.notices != "" && !slices.Contains(got, c.notices) || c.notices == "" && len(got) > 0 {
				t.Errorf("notices %v, want %q", got, c.notices)
			}
			for _, item := range state.Hold {
				if item.Say.Key == "hold.running_on" && item.Settle != (entry.RunningTime{On: true}) {
					t.Errorf("one tap posts %+v", item.Settle)
				}
			}
		})
	}
}

// TestWhistleThatWasElsewhere: the clock ran on after the whistle; put back, it
// takes along what was entered at it, and only that.
func TestWhistleThatWasElsewhere(t *testing.T) {
	at := func(m, s int) entry.At { return entry.At{Period: 1, Elapsed: entry.Clock(m, s)} }
	minor := entry.Penalty{Side: entry.Home, Player: "4", Call: "hooking", Parts: []entry.Part{entry.Minor}}
	start := func(g *game, m, s int) { g.post(at(m, s), entry.ClockStarted{Elapsed: entry.Clock(m, s)}) }
	stop := func(g *game, m, s int) { g.post(at(m, s), entry.ClockStopped{Elapsed: entry.Clock(m, s)}) }
	for name, c := range map[string]struct {
		put   func(*game)
		ends  entry.Millis
		clock entry.Millis
	}{
		"moves":        {func(g *game) { g.post(at(5, 0), entry.ClockSet{Elapsed: entry.Clock(4, 51), Moves: true}) }, entry.Clock(6, 51), entry.Clock(4, 51)},
		"only the set": {func(g *game) { g.post(at(5, 0), entry.ClockSet{Elapsed: entry.Clock(4, 51)}) }, entry.Clock(7, 0), entry.Clock(4, 51)},
		"board read beside": {func(g *game) {
			g.post(at(5, 0), entry.BoardRead{Elapsed: entry.Clock(4, 55)})
		}, entry.Clock(6, 55), entry.Clock(4, 55)},
	} {
		t.Run(name, func(t *testing.T) {
			g := newGame(t, "usah-youth")
			g.begin(1)
			if name == "board read beside" {
				g.post(at(0, 0), entry.BenchSet{Clock: entry.Beside})
			}
			earlier := minor
			earlier.Player = "6"
			start(g, 0, 0)
			stop(g, 2, 0)
			g.post(at(2, 0), earlier)
			start(g, 2, 0)
			stop(g, 5, 0)
			g.post(at(5, 0), minor)
			c.put(g)
			state := mustFold(t, g.ledger)
			if got := state.Terms[1].End.Abs; got != c.ends {
				t.Errorf("the minor ends at %s, want %s", got, c.ends)
			}
			if got := state.Terms[0].End.Abs; got != entry.Clock(4, 0) {
				t.Errorf("the minor before the last whistle ends at %s", got)
			}
			if state.Clock.Elapsed != c.clock || state.Clock.Running {
				t.Errorf("the clock stands at %s", state.Clock.Elapsed)
			}
			if name == "board read beside" && (state.Bench.Drift == nil || *state.Bench.Drift != 5000) {
				t.Errorf("the drift is %v, want five seconds", state.Bench.Drift)
			}
		})
	}
}

// TestFollowTheBoard: the board's times are whistles; nothing has to be started
// or stopped.
func TestFollowTheBoard(t *testing.T) {
	g := newGame(t, "usah-youth")
	g.begin(1)
	g.post(entry.At{}, entry.BenchSet{Clock: entry.Follow})
	read := func(m, s int) entry.At {
		at := entry.At{Period: 1, Elapsed: entry.Clock(m, s)}
		g.post(at, entry.BoardRead{Elapsed: at.Elapsed})
		return at
	}
	g.post(read(3, 0), entry.Penalty{Side: entry.Home, Player: "4", Call: "hooking", Parts: []entry.Part{entry.Minor}})
	g.post(read(3, 0), entry.Penalty{Side: entry.Visitors, Player: "5", Call: "hooking", Parts: []entry.Part{entry.Misconduct}})
	read(4, 0)
	g.post(read(4, 30), entry.Goal{Side: entry.Visitors, Scorer: "9"})
	state := mustFold(t, g.ledger)
	if state.Goals[0].Class != rules.PowerPlay || state.Terms[0].Ended != rules.ByGoal {
		t.Errorf("the goal is %s and the minor ended by %s", state.Goals[0].Class, state.Terms[0].Ended)
	}
	if state.Clock.Elapsed != entry.Clock(4, 30) || state.Bench.Drift != nil {
		t.Errorf("the clock stands at %s, drift %v", state.Clock.Elapsed, state.Bench.Drift)
	}
}

// TestBackInTheBox: whoever has time left is looked for when a period begins
// (IIHF 2025/26 Rule 35.1), and at each call where the bench wants it.
func TestBackInTheBox(t *testing.T) {
	minor := entry.Penalty{Side: entry.Home, Player: "4", Call: "hooking", Parts: []entry.Part{entry.Minor}}
	end := entry.At{Period: 1, Elapsed: entry.Clock(19, 30)}
	g := newGame(t, "usah-youth")
	g.begin(1)
	g.post(end, entry.ClockStopped{Elapsed: end.Elapsed})
	g.post(end, minor)
	g.begin(2)
	state := mustFold(t, g.ledger)
	if got := keys(state.Hold); !slices.Equal(got, []string{"hold.back"}) || state.Hold[0].Say.Args.Get("players") != "4" {
		t.Fatalf("at the start of the period: %+v", state.Hold)
	}
	if got := keys(state.Notices); !slices.Equal(got, []string{"notice.ends"}) {
		t.Errorf("notices %v", got)
	}
	g.post(entry.At{Period: 2}, state.Hold[0].Settle)
	if state = mustFold(t, g.ledger); len(state.Hold) > 0 {
		t.Errorf("one tap does not settle it: %+v", state.Hold)
	}

	g = newGame(t, "usah-youth")
	g.begin(1)
	g.post(entry.At{}, entry.BenchSet{Clock: entry.Lead, ConfirmBox: true})
	g.post(end, entry.ClockStopped{Elapsed: end.Elapsed})
	g.post(end, minor)
	state = mustFold(t, g.ledger)
	if got := keys(state.Hold); !slices.Equal(got, []string{"hold.seat"}) {
		t.Fatalf("after the call: %v", got)
	}
	g.post(end, state.Hold[0].Settle)
	if state = mustFold(t, g.ledger); len(state.Hold) > 0 {
		t.Errorf("seen, and still held: %+v", state.Hold)
	}
	g.begin(2)
	if state = mustFold(t, g.ledger); !slices.Equal(keys(state.Hold), []string{"hold.seat"}) {
		t.Errorf("after the intermission: %v", keys(state.Hold))
	}
}

// TestPutBackBeforeTheWhistle: a clock that ran on after the whistle and is put
// back leaves no whistle behind in time that was not played. Two coincidental
// minors that had run out leave at the whistle where the clock now stands.
func TestPutBackBeforeTheWhistle(t *testing.T) {
	at := func(m, s int) entry.At { return entry.At{Period: 1, Elapsed: entry.Clock(m, s)} }
	g := newGame(t, "usah-youth")
	g.begin(1)
	minor := []entry.Part{entry.Minor}
	g.post(at(1, 0), entry.Penalty{Side: entry.Home, Player: "7", Call: "roughing", Parts: minor})
	g.post(at(1, 0), entry.Penalty{Side: entry.Visitors, Player: "22", Call: "roughing", Parts: minor})
	g.post(at(1, 0), entry.ClockStarted{Elapsed: entry.Clock(1, 0)})
	g.post(at(3, 12), entry.ClockStopped{Elapsed: entry.Clock(3, 12)})
	g.post(at(3, 10), entry.ClockSet{Elapsed: entry.Clock(3, 10)})
	for _, term := range mustFold(t, g.ledger).Terms {
		if term.Out == nil || term.Out.Abs != entry.Clock(3, 10) {
			t.Errorf("number %s leaves at %v, want the whistle at 3:10", term.Player, term.Out)
		}
	}
}

// TestSkatersBeforeOvertime: until overtime is in sight the skaters are those of
// the period that is being played.
func TestSkatersBeforeOvertime(t *testing.T) {
	g := newGame(t, "nhl")
	for period := 1; period <= 3; period++ {
		g.begin(period)
	}
	end := entry.At{Period: 3, Elapsed: entry.Clock(20, 0)}
	g.post(entry.At{Period: 3, Elapsed: entry.Clock(19, 0)}, entry.Penalty{
		Side: entry.Visitors, Player: "5", Call: "holding", Parts: []entry.Part{entry.Minor},
	})
	g.post(end, entry.ClockStopped{Elapsed: end.Elapsed})
	if got := skatersAt(mustFold(t, g.ledger), entry.Clock(60, 0)); got != [2]int{5, 4} {
		t.Errorf("at the horn: %v", got)
	}
	g.post(end, entry.StageBegun{Stage: entry.Stage{Kind: entry.Intermission, Number: 3}, Length: entry.Clock(1, 0)})
	if got := skatersAt(mustFold(t, g.ledger), entry.Clock(60, 0)); got != [2]int{4, 3} {
		t.Errorf("before overtime: %v", got)
	}
}

// TestWhatChangesNow: late and wrong entries are said in terms of the people in
// the box at this moment.
func TestWhatChangesNow(t *testing.T) {
	words := &scenario{t: t}
	at := func(m, s int) entry.At { return entry.At{Period: 1, Elapsed: entry.Clock(m, s)} }
	minor := func(side entry.Side, number entry.Jersey) entry.Penalty {
		return entry.Penalty{Side: side, Player: number, Call: "hooking", Parts: []entry.Part{entry.Minor}}
	}
	opened := func() (*game, string) {
		g := newGame(t, "usah-youth")
		g.begin(1)
		id := g.post(at(2, 0), minor(entry.Home, "4"))
		g.post(at(2, 0), entry.ClockStarted{Elapsed: entry.Clock(2, 0)})
		g.post(at(3, 12), entry.ClockStopped{Elapsed: entry.Clock(3, 12)})
		return g, id
	}
	consider := func(g *game, of string, at entry.At, body entry.Body) string {
		d := entry.Entry{ID: id26(900), Game: gameID, At: at, Seat: entry.Solo, Of: of, Wall: g.wall, Body: body}
		p := rules.Consider(g.ledger, []entry.Entry{d}, g.wall)
		if len(p.Refused) > 0 {
			t.Fatal(p.Refused)
		}
		return words.texts(p.Says)
	}
	holds := func(what, got, want string) {
		t.Helper()
		if !strings.Contains(got, want) {
			t.Errorf("%s: %q lacks %q", what, got, want)
		}
	}
	g, _ := opened()
	holds("a goal entered late", consider(g, "", at(3, 0), entry.Goal{Side: entry.Visitors, Scorer: "9"}),
		"Kelp Bay 4 should have been released 0:12 ago: open the home gate.")
	goal := g.post(at(3, 0), entry.Goal{Side: entry.Visitors, Scorer: "9"})
	struck := consider(g, goal, at(3, 0), entry.Struck{})
	holds("the goal taken back", struck, "Kelp Bay 4 is back with 0:48 left, until 16:00.")
	strike := g.of(goal, at(3, 0), entry.Struck{})
	back := consider(g, strike, at(3, 0), entry.Struck{})
	holds("the strike taken back", back, "Put back: Goal, Lanternside 9, power play.")
	if strings.Count(back, "Goal,") != 1 {
		t.Errorf("the goal is said more than once: %q", back)
	}
	g, call := opened()
	wrongSide := consider(g, call, at(2, 0), entry.Amended{To: minor(entry.Visitors, "4")})
	holds("the wrong side", wrongSide, "Kelp Bay 4 should not be in the box now")
	holds("the wrong side", wrongSide, "Lanternside 4 belongs in the box until 16:00, 0:48 left.")
	g, call = opened()
	g.post(at(3, 12), entry.Goal{Side: entry.Visitors, Scorer: "9"})
	holds("no longer a power play", consider(g, call, entry.At{}, entry.Struck{}), "Goal, Lanternside 9, even strength.")
}

// TestWhatALeagueChanges: a school league gives minors of its own length in
// overtime and ends the game with the first goal of the second overtime only
// (Playoff OT Rules, February 2023); a women's league counts minutes and not
// penalties (League Policies & Rules, Rule 401).
func TestWhatALeagueChanges(t *testing.T) {
	minor := entry.Penalty{Side: entry.Home, Player: "4", Call: "hooking", Parts: []entry.Part{entry.Minor}}
	d := newGame(t, "usah-youth").division
	d.Overtime = rulebook.Overtime{Minor: entry.Clock(1, 0), Periods: []rulebook.OvertimePeriod{
		{Length: entry.Clock(5, 0), Skaters: 4}, {Length: entry.Clock(5, 0), Skaters: 3, SuddenDeath: true},
	}}
	d.Limits.NoPenalties = true
	g := openGame(t, d)
	g.begin(1)
	for i := range 6 {
		g.post(entry.At{Period: 1, Elapsed: entry.Clock(3*i, 0)}, minor)
	}
	for period := 2; period <= 4; period++ {
		g.begin(period)
	}
	g.post(entry.At{Period: 4, Elapsed: entry.Clock(1, 0)}, minor)
	g.post(entry.At{Period: 4, Elapsed: entry.Clock(1, 30)}, entry.Goal{Side: entry.Home, Scorer: "9"})
	state := mustFold(t, g.ledger)
	if first, last := state.Terms[0].Length, state.Terms[6].Length; first != entry.Clock(2, 0) || last != entry.Clock(1, 0) {
		t.Errorf("minors of %s, and of %s in overtime", first, last)
	}
	if slices.Contains(keys(state.Owed), "owed.ejected") {
		t.Error("six penalties send a player off where the league does not count them")
	}
	if slices.Contains(keys(state.Hold), "hold.decided") {
		t.Error("a goal in the first overtime ends the game")
	}
	g.begin(5)
	if got := keys(mustFold(t, g.ledger).Hold); !slices.Contains(got, "hold.decided") {
		t.Errorf("a lead in the second overtime does not end the game: %v", got)
	}
}

// TestEmptyNetIsAskedAfter: at each whistle until a goalkeeper is back.
func TestEmptyNetIsAskedAfter(t *testing.T) {
	g := newGame(t, "usah-youth")
	g.begin(1)
	g.post(entry.At{Period: 1}, entry.Goalkeeper{Side: entry.Home})
	if got := keys(mustFold(t, g.ledger).Notices); !slices.Contains(got, "notice.net") {
		t.Errorf("notices %v", got)
	}
	g.post(entry.At{Period: 1}, entry.Goalkeeper{Side: entry.Home, Number: "30"})
	if got := keys(mustFold(t, g.ledger).Notices); slices.Contains(got, "notice.net") {
		t.Errorf("the goalkeeper is back: %v", got)
	}
}
