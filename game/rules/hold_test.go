package rules_test

import (
	"slices"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
)

// item finds what is held, asked or owed by the key of its sentence.
func item(t *testing.T, items []rules.Item, say string) rules.Item {
	t.Helper()
	for _, one := range items {
		if one.Say.Key == say {
			return one
		}
	}
	t.Fatalf("no %s among %v", say, keys(items))
	return rules.Item{}
}

// TestPaperworkHoldsNobody: a number that is to follow is owed and holds no
// puck, unless the bench wants to see each penalised player (ours: accept half
// an entry). Set aside, it is quiet until the next break.
func TestPaperworkHoldsNobody(t *testing.T) {
	at := entry.At{Period: 1, Elapsed: entry.Clock(2, 0)}
	call := entry.Penalty{Side: entry.Home, Call: "hooking", Parts: []entry.Part{entry.Minor}}
	g := newGame(t, "usah-youth")
	g.begin(1)
	g.post(at, entry.ClockStopped{Elapsed: at.Elapsed})
	g.post(at, call)
	state := mustFold(t, g.ledger)
	if len(state.Hold) > 0 {
		t.Errorf("holds for %v", keys(state.Hold))
	}
	owed := item(t, state.Owed, "owed.player")
	if owed.Aside {
		t.Error("set aside before anybody did")
	}
	g.post(at, entry.SetAside{Item: owed.Key})
	if state = mustFold(t, g.ledger); !item(t, state.Owed, "owed.player").Aside {
		t.Error("set aside, and asked for again at once")
	}
	g.post(at, entry.StageBegun{Stage: entry.Stage{Kind: entry.Intermission, Number: 1}, Length: entry.Clock(1, 0)})
	if state = mustFold(t, g.ledger); item(t, state.Owed, "owed.player").Aside {
		t.Error("a break is the moment for it, and nobody asks")
	}

	g = newGame(t, "usah-youth")
	g.begin(1)
	g.post(entry.At{}, entry.BenchSet{Clock: entry.Lead, ConfirmBox: true})
	g.post(at, call)
	item(t, mustFold(t, g.ledger).Hold, "hold.who")
}

// TestEmptyNet: a net that was left is asked about at each whistle, with the
// goalkeeper who left it.
func TestEmptyNet(t *testing.T) {
	whistle := func(g *game, m int) {
		g.post(entry.At{Period: 1, Elapsed: entry.Clock(m, 0)}, entry.ClockStarted{Elapsed: entry.Clock(m-1, 0)})
		g.post(entry.At{Period: 1, Elapsed: entry.Clock(m, 0)}, entry.ClockStopped{Elapsed: entry.Clock(m, 0)})
	}
	g := newGame(t, "usah-youth")
	g.begin(1)
	g.post(entry.At{Period: 1}, entry.Goalkeeper{Side: entry.Visitors, Number: "30"})
	g.post(entry.At{Period: 1}, entry.Goalkeeper{Side: entry.Visitors})
	whistle(g, 3)
	asked := item(t, mustFold(t, g.ledger).Notices, "notice.net")
	if asked.Settle != (entry.Goalkeeper{Side: entry.Visitors, Number: "30"}) || asked.SettleSay.Args.Get("player") != "30" {
		t.Errorf("one tap posts %+v and says %+v", asked.Settle, asked.SettleSay)
	}
	g.post(entry.At{Period: 1}, entry.SetAside{Item: asked.Key})
	if got := keys(mustFold(t, g.ledger).Notices); slices.Contains(got, "notice.net") {
		t.Errorf("stays out, and still asked: %v", got)
	}
	whistle(g, 5)
	asked = item(t, mustFold(t, g.ledger).Notices, "notice.net")
	g.post(entry.At{Period: 1}, asked.Settle)
	if state := mustFold(t, g.ledger); len(state.Notices) > 0 || state.Teams[1].NetEmpty {
		t.Errorf("back in goal, and %v", keys(state.Notices))
	}
}

// TestEmptyNetWithoutAName: the roster's only goalkeeper is who left; of two
// nobody can know.
func TestEmptyNetWithoutAName(t *testing.T) {
	for name, c := range map[string]struct {
		players []entry.Player
		settles bool
	}{
		"nobody on the roster": {nil, false},
		"one":                  {[]entry.Player{{Number: "4"}, {Number: "1", Goalkeeper: true}}, true},
		"two":                  {[]entry.Player{{Number: "1", Goalkeeper: true}, {Number: "31", Goalkeeper: true}}, false},
	} {
		g := newGame(t, "usah-youth")
		g.begin(1)
		g.post(entry.At{}, entry.RosterSet{Side: entry.Home, Team: entry.Team{Name: "Kelp Bay", Players: c.players}})
		g.post(entry.At{Period: 1}, entry.Goalkeeper{Side: entry.Home})
		if asked := item(t, mustFold(t, g.ledger).Notices, "notice.net"); (asked.Settle != nil) != c.settles {
			t.Errorf("%s: one tap posts %+v", name, asked.Settle)
		}
	}
}

// TestEndsAreChanged: one tap, and nobody is asked again for that period.
func TestEndsAreChanged(t *testing.T) {
	g := newGame(t, "usah-youth")
	g.begin(1)
	g.begin(2)
	ends := item(t, mustFold(t, g.ledger).Notices, "notice.ends")
	g.post(entry.At{Period: 2}, ends.Settle)
	if got := keys(mustFold(t, g.ledger).Notices); len(got) > 0 {
		t.Errorf("done, and still %v", got)
	}
	g.begin(3)
	item(t, mustFold(t, g.ledger).Notices, "notice.ends")
}

// TestRunningPeriods follows the published variants of the rule book's tests: a
// clock that runs in some periods, and stop time in the last minutes of a close
// game.
func TestRunningPeriods(t *testing.T) {
	on, off := entry.RunningTime{On: true}, entry.RunningTime{}
	open := func(rule rulebook.ClockRule) *game {
		d := newGame(t, "usah-youth").division
		d.Clock = rule
		return openGame(t, d)
	}
	g := open(rulebook.ClockRule{Running: true, RunningPeriods: []int{1, 3}, StopLast: entry.Clock(2, 0), StopWithin: 3})
	g.begin(1)
	asked := item(t, mustFold(t, g.ledger).Hold, "hold.runs_period")
	if asked.Settle != on {
		t.Errorf("one tap posts %+v", asked.Settle)
	}
	g.post(entry.At{Period: 1}, on)
	if got := keys(mustFold(t, g.ledger).Hold); len(got) > 0 {
		t.Errorf("on, and held for %v", got)
	}
	g.begin(2)
	if asked = item(t, mustFold(t, g.ledger).Hold, "hold.stops_period"); asked.Settle != off {
		t.Errorf("one tap posts %+v", asked.Settle)
	}
	g.post(entry.At{Period: 2}, off)
	g.begin(3)
	g.post(entry.At{Period: 3}, on)
	last := item(t, mustFold(t, g.ledger).Notices, "hold.stops_last")
	if length := g.division.Periods[2]; last.From == nil || last.From.Left != entry.Clock(2, 0) || last.From.Elapsed != length-entry.Clock(2, 0) {
		t.Errorf("asked from %+v", last.From)
	}
	then := entry.At{Period: 3, Elapsed: g.division.Periods[2] - entry.Clock(1, 30)}
	g.post(then, entry.ClockStopped{Elapsed: then.Elapsed})
	if last = item(t, mustFold(t, g.ledger).Hold, "hold.stops_last"); last.Settle != off {
		t.Errorf("one tap posts %+v", last.Settle)
	}
	g.goals(entry.Home, 3, 1, 4)
	if got := keys(mustFold(t, g.ledger).Hold); len(got) > 0 {
		t.Errorf("a lead of four is not close: held for %v", got)
	}

	// Running time by the rule is not turned off for a small lead.
	d := newGame(t, "usah-youth").division
	d.Clock = rulebook.ClockRule{Running: true}
	d.Running = rulebook.Running{Lead: 5, Returns: rulebook.ReturnsBelow}
	g = openGame(t, d)
	g.begin(1)
	g.post(entry.At{Period: 1}, on)
	if got := keys(mustFold(t, g.ledger).Hold); len(got) > 0 {
		t.Errorf("held for %v", got)
	}
}

// TestRunningOvertime: an overtime period can have a running clock of its own.
func TestRunningOvertime(t *testing.T) {
	d := newGame(t, "usah-youth").division
	d.Overtime.Periods = []rulebook.OvertimePeriod{{Length: entry.Clock(5, 0), Skaters: 4, Running: true}}
	g := openGame(t, d)
	g.post(entry.At{Period: 4}, entry.StageBegun{Stage: entry.Stage{Kind: entry.Overtime, Number: 1}, Length: entry.Clock(5, 0)})
	item(t, mustFold(t, g.ledger).Hold, "hold.runs_period")
}

// TestWhatElseALeadChanges: what a league changes with running time is said
// once, with one tap to put it away.
func TestWhatElseALeadChanges(t *testing.T) {
	d := newGame(t, "usah-youth").division
	d.Running = rulebook.Running{Lead: 3, ChangesLengths: true, KeepsBoxGoing: true, SkipsBreakAt: 3}
	g := openGame(t, d)
	g.begin(1)
	g.goals(entry.Visitors, 1, 1, 3)
	g.post(entry.At{Period: 1}, entry.RunningTime{On: true})
	end := entry.At{Period: 1, Elapsed: d.Periods[0]}
	g.post(end, entry.ClockStopped{Elapsed: end.Elapsed})
	state := mustFold(t, g.ledger)
	for _, key := range []string{"notice.running_lengths", "notice.running_box", "notice.skips_break"} {
		g.post(end, item(t, state.Notices, key).Settle)
	}
	if got := keys(mustFold(t, g.ledger).Notices); len(got) > 0 {
		t.Errorf("all read, and still %v", got)
	}
}

// TestStopThatWasNoWhistle: a stop can be struck once a later entry says where
// the clock stands. The clock stays where it is; only what hung on the whistle
// changes: two coincidental minors leave at the next one.
func TestStopThatWasNoWhistle(t *testing.T) {
	at := func(m, s int) entry.At { return entry.At{Period: 1, Elapsed: entry.Clock(m, s)} }
	minor := []entry.Part{entry.Minor}
	g := newGame(t, "usah-youth")
	g.begin(1)
	g.post(at(1, 0), entry.Penalty{Side: entry.Home, Player: "7", Call: "roughing", Parts: minor})
	g.post(at(1, 0), entry.Penalty{Side: entry.Visitors, Player: "22", Call: "roughing", Parts: minor})
	g.post(at(1, 0), entry.ClockStarted{Elapsed: entry.Clock(1, 0)})
	g.post(at(4, 0), entry.ClockStopped{Elapsed: entry.Clock(4, 0)})
	stop := g.ledger[len(g.ledger)-1].ID
	g.post(at(4, 0), entry.ClockStarted{Elapsed: entry.Clock(4, 0)})
	g.post(at(5, 0), entry.ClockStopped{Elapsed: entry.Clock(5, 0)})
	before := mustFold(t, g.ledger)
	g.post(at(5, 0), entry.Struck{})
	g.ledger[len(g.ledger)-1].Of = stop
	after := mustFold(t, g.ledger)
	if before.Clock != after.Clock {
		t.Errorf("the clock was %+v and is %+v", before.Clock, after.Clock)
	}
	if out := before.Terms[0].Out; out == nil || out.Abs != entry.Clock(4, 0) {
		t.Fatalf("left at %+v", out)
	}
	if out := after.Terms[0].Out; out == nil || out.Abs != entry.Clock(5, 0) {
		t.Errorf("without that whistle, left at %+v", out)
	}
}

// TestWhatWasSetAsideIsSaid: "Yes, he is back" is not a reason that was set
// aside.
func TestWhatWasSetAsideIsSaid(t *testing.T) {
	g := newGame(t, "usah-youth")
	g.begin(1)
	g.call(at(1, 19, 0), entry.Home, "6", "tripping", entry.Minor)
	g.begin(2)
	said := map[string]string{}
	s := mustFold(t, g.ledger)
	for _, item := range append(append([]rules.Item{}, s.Hold...), s.Notices...) {
		id := g.post(at(2, 0, 0), entry.SetAside{Item: item.Key})
		for _, l := range mustFold(t, g.ledger).Lines {
			if l.Entry == id {
				said[item.Say.Key] = l.Say.Key + " " + l.Say.Args.Get("team")
			}
		}
	}
	if said["hold.back"] != "line.aside_back Kelp Bay" || said["notice.ends"] != "line.aside_seen " {
		t.Errorf("said %v", said)
	}
}
