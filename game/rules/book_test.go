package rules_test

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

func at(period, minutes, seconds int) entry.At {
	return entry.At{Period: period, Elapsed: entry.Clock(minutes, seconds)}
}

// TestShotsGoToWhoKeptGoal: a change of goalkeepers splits a period's tally, and
// a shot at the whistle of the change belongs to the one who left.
func TestShotsGoToWhoKeptGoal(t *testing.T) {
	g := newGame(t, "usah-youth")
	g.post(entry.At{}, entry.Goalkeeper{Side: entry.Visitors, Number: "30"})
	g.begin(1)
	g.post(at(1, 2, 0), entry.Shots{Side: entry.Home, Count: 1})
	g.post(at(1, 5, 0), entry.Goalkeeper{Side: entry.Visitors, Number: "1"})
	g.post(at(1, 5, 0), entry.Shots{Side: entry.Home, Count: 1})
	wrong := g.post(at(1, 6, 0), entry.Shots{Side: entry.Home, Count: 4})
	g.post(at(1, 7, 0), entry.Shots{Side: entry.Visitors, Count: 2})
	g.of(wrong, at(1, 6, 0), entry.Struck{})
	g.begin(2)
	g.post(at(2, 1, 0), entry.Shots{Side: entry.Home, Count: 3})
	want := []rules.ShotCount{
		{Period: 1, Side: entry.Home, Goalkeeper: "30", Count: 2},
		{Period: 1, Side: entry.Visitors, Count: 2},
		{Period: 2, Side: entry.Home, Goalkeeper: "1", Count: 3},
	}
	if got := mustFold(t, g.ledger).Book.Shots; !slices.Equal(got, want) {
		t.Errorf("shots %+v, want %+v", got, want)
	}
}

// TestShootOutIsDecided: best of three, then as many tries each (USA Hockey
// 638(c), IIHF 2025/26 Rule 84). The winner has one goal more.
func TestShootOutIsDecided(t *testing.T) {
	for name, c := range map[string]struct {
		tries  string // h: home scores, v: visitors score, .: the next side misses
		winner entry.Side
	}{
		"cannot be caught":      {"h.h.", entry.Home},
		"still open":            {"h.h", ""},
		"last of the first":     {"h..v.v", entry.Visitors},
		"level after three":     {"hv....", ""},
		"sudden death, half":    {"hv....h", ""},
		"sudden death, decided": {"hv....h.", entry.Home},
	} {
		g := newGame(t, "usah-youth")
		g.division.ShootOut.Shooters = 3
		g = openGame(t, g.division)
		for period := 1; period <= 3; period++ {
			g.begin(period)
		}
		g.post(at(3, 20, 0), entry.StageBegun{Stage: entry.Stage{Kind: entry.ShootOut}})
		for i, r := range c.tries {
			side := entry.Sides[i%2]
			g.post(at(3, 20, 0), entry.Attempt{Side: side, Player: "9", Scored: r != '.', On: entry.ShootOutAttempt})
		}
		state := mustFold(t, g.ledger)
		so := state.Book.ShootOut
		if so == nil || so.Winner != c.winner || so.Decided != (c.winner != "") {
			t.Errorf("%s: %+v, want %q", name, so, c.winner)
			continue
		}
		score := [2]int{state.Teams[0].Score, state.Teams[1].Score}
		want := [2]int{}
		if c.winner != "" {
			want[c.winner.Index()] = 1
		}
		if score != want {
			t.Errorf("%s: score %v, want %v", name, score, want)
		}
	}
}

func TestAttemptNeedsItsStage(t *testing.T) {
	g := newGame(t, "nhl")
	g.begin(1)
	draft := entry.Entry{ID: id26(900), Game: gameID, At: at(1, 1, 0), Wall: g.wall, Seat: entry.Solo,
		Body: entry.Attempt{Side: entry.Home, Player: "9", Scored: true, On: entry.ShootOutAttempt}}
	if p := rules.Consider(g.ledger, []entry.Entry{draft}, g.wall); len(p.Refused) == 0 {
		t.Error("a shoot-out attempt is taken in the first period")
	}
	draft.Body = entry.Attempt{Side: entry.Home, Player: "9", On: entry.PenaltyShotAttempt}
	if p := rules.Consider(g.ledger, []entry.Entry{draft}, g.wall); len(p.Refused) > 0 {
		t.Errorf("a penalty shot that missed is refused: %+v", p.Refused)
	}
}

// TestSealCoversWhatCameBeforeIt: what changes the report after the seal owes a
// new one; a tick on the rink card does not.
func TestSealCoversWhatCameBeforeIt(t *testing.T) {
	g := newGame(t, "usah-youth")
	g.begin(1)
	goal := g.post(at(1, 3, 0), entry.Goal{Side: entry.Home, Scorer: "9", Unassisted: true})
	seal := func(version int) entry.Sealed {
		return entry.Sealed{Version: version, Head: strings.Repeat("a", 64), Key: "a2V5", Signature: "c2ln"}
	}
	draft := func(b entry.Body) entry.Entry {
		return entry.Entry{ID: id26(900), Game: gameID, At: at(1, 3, 0), Wall: g.wall, Seat: entry.Solo, Body: b}
	}
	if p := rules.Consider(g.ledger, []entry.Entry{draft(seal(1))}, g.wall); len(p.Refused) == 0 {
		t.Error("a game that goes on is sealed")
	}
	g.post(at(1, 20, 0), entry.StageBegun{Stage: entry.Stage{Kind: entry.Over}})
	if p := rules.Consider(g.ledger, []entry.Entry{draft(seal(2))}, g.wall); len(p.Refused) == 0 {
		t.Error("the first seal is the second")
	}
	g.post(at(1, 20, 0), seal(1))
	g.post(at(1, 20, 0), entry.Ticked{Step: "x"})
	if s := mustFold(t, g.ledger); !s.Book.Sealed || slices.Contains(keys(s.Owed), "owed.reseal") {
		t.Errorf("a tick breaks the seal: %+v", s.Book.Seals)
	}
	g.of(goal, at(1, 3, 0), entry.Amended{To: entry.Goal{Side: entry.Home, Scorer: "10", Unassisted: true}})
	if s := mustFold(t, g.ledger); s.Book.Sealed || !slices.Contains(keys(s.Owed), "owed.reseal") {
		t.Error("a goal was changed and the seal still covers it")
	}
}

// TestDoubtStopsTheClockAndFreesNobody: a computer that slept knows no time; a
// player who waits for a whistle waits on.
func TestDoubtStopsTheClockAndFreesNobody(t *testing.T) {
	g := newGame(t, "usah-youth")
	g.begin(1)
	minor := func(side entry.Side, n entry.Jersey) entry.Penalty {
		return entry.Penalty{Side: side, Player: n, Call: "hooking", Parts: []entry.Part{entry.Minor}}
	}
	g.post(at(1, 1, 0), minor(entry.Home, "4"))
	g.post(at(1, 1, 0), minor(entry.Visitors, "5"))
	g.post(at(1, 1, 0), entry.ClockStarted{Elapsed: entry.Clock(1, 0)})
	doubted := g.post(at(1, 4, 0), entry.ClockDoubted{Elapsed: entry.Clock(4, 0), Asleep: entry.Clock(2, 0)})
	state := mustFold(t, g.ledger)
	if c := state.Clock; c.Running || c.Elapsed != entry.Clock(4, 0) || c.Doubt == nil || c.Doubt.Entry != doubted {
		t.Errorf("clock %+v", c)
	}
	for _, term := range state.Terms {
		if term.Out != nil && term.Out.Abs < entry.Clock(20, 0) { // the end of the period frees them
			t.Errorf("%s left the box without a whistle", term.Player)
		}
	}
	if len(state.Hold) == 0 || state.Hold[0].Say.Key != "hold.doubt" || state.Hold[0].Settle == nil {
		t.Fatalf("hold %v", keys(state.Hold))
	}
	strike := entry.Entry{ID: id26(900), Game: gameID, At: at(1, 4, 0), Of: doubted, Wall: g.wall, Seat: entry.Solo, Body: entry.Struck{}}
	if p := rules.Consider(g.ledger, []entry.Entry{strike}, g.wall); len(p.Refused) == 0 {
		t.Error("a strike lets the clock run on through the sleep")
	}
	g.post(at(1, 4, 0), state.Hold[0].Settle)
	if after := mustFold(t, g.ledger); after.Clock.Doubt != nil || slices.Contains(keys(after.Hold), "hold.doubt") {
		t.Error("the time was said, and is doubted still")
	}
}

// TestDoublesAreNoticed: two goals of a side at one moment cannot be; the same
// call from two seats is most likely one.
func TestDoublesAreNoticed(t *testing.T) {
	g := newGame(t, "usah-youth")
	g.begin(1)
	from := func(seat entry.Seat, b entry.Body) string {
		id := g.post(at(1, 3, 0), b)
		g.ledger[len(g.ledger)-1].Seat = seat
		return id
	}
	first := from(entry.BookSeat, entry.Goal{Side: entry.Home, Scorer: "9"})
	second := from(entry.ClockSeat, entry.Goal{Side: entry.Home, Scorer: "10", Assists: []entry.Jersey{"8"}})
	from(entry.BookSeat, entry.Penalty{Side: entry.Visitors, Player: "4", Parts: []entry.Part{entry.Minor}})
	from(entry.BoxSeat, entry.Penalty{Side: entry.Visitors, Call: "hooking", Parts: []entry.Part{entry.Minor}})
	from(entry.BoxSeat, entry.Penalty{Side: entry.Visitors, Player: "7", Call: "hooking", Parts: []entry.Part{entry.Minor}})
	doubles := mustFold(t, g.ledger).Book.Doubles
	if len(doubles) != 2 {
		t.Fatalf("doubles %+v", doubles)
	}
	goal, call := doubles[0], doubles[1]
	want := entry.Goal{Side: entry.Home, Scorer: "9", Assists: []entry.Jersey{"8"}}
	if got := goal.Merged.(entry.Goal); got.Scorer != want.Scorer || !slices.Equal(got.Assists, want.Assists) ||
		goal.First != first || goal.Second != second || !slices.Equal(goal.Differs, []string{"scorer"}) {
		t.Errorf("%+v", goal)
	}
	if got := call.Merged.(entry.Penalty); got.Player != "4" || got.Call != "hooking" || len(call.Differs) != 0 {
		t.Errorf("%+v", call)
	}
	g.of(goal.First, at(1, 3, 0), entry.Amended{To: goal.Merged})
	g.of(goal.Second, at(1, 3, 0), entry.Struck{Reason: "double"})
	g.post(at(1, 3, 0), entry.SetAside{Item: call.Key})
	after := mustFold(t, g.ledger)
	if len(after.Book.Doubles) != 0 || after.Teams[0].Score != 1 {
		t.Errorf("after merging: score %d, doubles %+v", after.Teams[0].Score, after.Book.Doubles)
	}
}

// TestMergedEntriesCanBePosted: whatever two seats entered, what is offered in
// place of both is an entry that the bench takes.
func TestMergedEntriesCanBePosted(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		number := rapid.SampledFrom([]entry.Jersey{"", "4", "7", "9"})
		goal := func(label string) entry.Goal {
			g := entry.Goal{Side: entry.Home, Scorer: number.Draw(r, label)}
			for _, j := range rapid.SliceOfNDistinct(number, 0, 2, rapid.ID).Draw(r, label+" assists") {
				if j != g.Scorer || j == "" {
					g.Assists = append(g.Assists, j)
				}
			}
			g.Unassisted = len(g.Assists) == 0 && rapid.Bool().Draw(r, label+" alone")
			return g
		}
		call := func(label string) entry.Penalty {
			p := entry.Penalty{Side: entry.Home, Player: number.Draw(r, label), Parts: []entry.Part{entry.Minor}}
			if served := number.Draw(r, label+" served"); served != p.Player {
				p.ServedBy = served
			}
			return p
		}
		g := newGame(t, "nhl")
		g.begin(1)
		for i, seat := range []entry.Seat{entry.BookSeat, entry.ClockSeat} {
			for _, b := range []entry.Body{goal("goal" + string(seat)), call("call" + string(seat))} {
				g.post(at(1, 3, 0), b)
				g.ledger[len(g.ledger)-1].Seat = seat
				if err := g.ledger[len(g.ledger)-1].Validate(); err != nil {
					r.Skipf("%d: %v", i, err)
				}
			}
		}
		for _, d := range mustFold(t, g.ledger).Book.Doubles {
			drafts := []entry.Entry{
				{ID: id26(901), Game: gameID, At: at(1, 3, 0), Of: d.First, Seat: entry.Solo, Body: entry.Amended{To: d.Merged}},
				{ID: id26(902), Game: gameID, At: at(1, 3, 0), Of: d.Second, Seat: entry.Solo, Body: entry.Struck{Reason: "double"}},
			}
			if p := rules.Consider(g.ledger, drafts, g.wall); len(p.Refused) > 0 {
				r.Fatalf("%+v is refused: %+v", d.Merged, p.Refused)
			}
		}
	})
}

func TestSignatureIsNotSentToEveryScreen(t *testing.T) {
	g := newGame(t, "nhl")
	g.post(entry.At{}, entry.Signed{Role: entry.Referee, Name: "R. Example", Drawing: "M1 1L2 2"})
	state := mustFold(t, g.ledger)
	if s := state.Book.Signatures; len(s) != 1 || !s[0].Drawn {
		t.Errorf("signatures %+v", s)
	}
	if b := state.Lines[1].Body.(entry.Signed); b.Drawing != "" {
		t.Error("the drawing is in the state")
	}
}
