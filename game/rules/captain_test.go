package rules_test

import (
	"slices"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
)

// ended tells how each term of a side ended, by player.
func ended(s rules.State, side entry.Side) map[entry.Jersey]rules.Ended {
	out := map[entry.Jersey]rules.Ended{}
	for _, t := range s.Terms {
		if t.Side == side {
			out[t.Player] = t.Ended
		}
	}
	return out
}

// question returns the question with a text, or one without an id.
func question(s rules.State, key string) rules.Question {
	for _, q := range s.Asked {
		if q.Say.Key == key {
			return q
		}
	}
	return rules.Question{}
}

// TestTheCaptainSaysWhichSignalledMinorIsWiped: of two minors signalled before a
// goal one is washed out, and the captain says which (IIHF 15.2, NHL 15.2). Until
// then it is the first, and the game goes on.
func TestTheCaptainSaysWhichSignalledMinorIsWiped(t *testing.T) {
	for _, code := range []string{"iihf", "nhl"} {
		g := newGame(t, code)
		g.begin(1)
		for _, player := range []entry.Jersey{"6", "8"} {
			g.post(at(1, 3, 0), entry.Penalty{Side: entry.Home, Player: player, Call: "tripping", Parts: []entry.Part{entry.Minor}, Signalled: true})
		}
		g.post(at(1, 3, 0), entry.Goal{Side: entry.Visitors, Scorer: "9"})
		s := mustFold(t, g.ledger)
		q := question(s, "ask.wipe")
		if q.ID == "" || q.Answered || q.Count != 1 || q.Side != entry.Home || !slices.Equal(q.Players, []entry.Jersey{"6", "8"}) || !slices.Equal(q.Default, []entry.Jersey{"6"}) {
			t.Fatalf("%s asks %+v", code, q)
		}
		if how := ended(s, entry.Home); how["6"] != rules.Wiped || how["8"] == rules.Wiped {
			t.Errorf("%s, before the captain spoke: %v", code, how)
		}
		g.post(at(1, 3, 0), entry.Choice{Question: q.ID, Picks: []entry.Jersey{"8"}})
		s = mustFold(t, g.ledger)
		if how := ended(s, entry.Home); how["8"] != rules.Wiped || how["6"] == rules.Wiped {
			t.Errorf("%s, the captain named 8: %v", code, how)
		}
		if !question(s, "ask.wipe").Answered {
			t.Errorf("%s still asks", code)
		}
	}
}

// TestTheCaptainSaysWhoseMajorIsServed: two majors against one at one stoppage;
// which of the two stays on the clock is the captain's (IIHF 19.5).
func TestTheCaptainSaysWhoseMajorIsServed(t *testing.T) {
	g := newGame(t, "iihf")
	g.begin(1)
	g.call(at(1, 3, 0), entry.Home, "6", "fighting", entry.Major)
	g.call(at(1, 3, 0), entry.Home, "8", "fighting", entry.Major)
	g.call(at(1, 3, 0), entry.Visitors, "9", "fighting", entry.Major)
	costs := func(s rules.State) (who []entry.Jersey) {
		for _, term := range s.Terms {
			if term.Costs {
				who = append(who, term.Player)
			}
		}
		return who
	}
	s := mustFold(t, g.ledger)
	q := question(s, "ask.serve_major")
	if q.ID == "" || q.Answered || q.Count != 1 || !slices.Equal(q.Players, []entry.Jersey{"6", "8"}) {
		t.Fatalf("asks %+v", s.Asked)
	}
	before := costs(s)
	if len(before) != 1 || !slices.Equal(before, q.Default) {
		t.Errorf("%v serve, %v would until somebody answers", before, q.Default)
	}
	for _, pick := range q.Players {
		answered := *g
		answered.ledger = slices.Clone(g.ledger)
		answered.post(at(1, 3, 0), entry.Choice{Question: q.ID, Picks: []entry.Jersey{pick}})
		s := mustFold(t, answered.ledger)
		if who := costs(s); !slices.Equal(who, []entry.Jersey{pick}) || !question(s, "ask.serve_major").Answered {
			t.Errorf("the captain named %s, and %v serves", pick, who)
		}
	}
}

// TestARosterThatIsTooLongIsOwed: those who play count, and those who do not take
// part do not.
func TestARosterThatIsTooLongIsOwed(t *testing.T) {
	for _, c := range []struct {
		most, out int
		owed      bool
	}{{0, 0, false}, {25, 0, true}, {26, 0, false}, {25, 1, false}, {24, 1, true}} {
		g := newGame(t, "iihf")
		g.division.Limits.Dressed = c.most
		g = openGame(t, g.division)
		team := entry.Team{Name: "Kelp Bay", Players: roster()}
		for i := range c.out {
			team.Players[5+i].Status = entry.Absent
		}
		g.post(entry.At{}, entry.RosterSet{Side: entry.Home, Team: team})
		owed := slices.ContainsFunc(mustFold(t, g.ledger).Owed, func(i rules.Item) bool { return i.Key == "dressed/home" })
		if owed != c.owed {
			t.Errorf("26 on the list, %d of them out, %d allowed: owed %v", c.out, c.most, owed)
		}
	}
}

// TestAGoalkeeperEnteredLateKeptGoalThen: spells in the net go by the game's time
// and not by when somebody got round to entering them, so that shots and goals
// count against who stood there.
func TestAGoalkeeperEnteredLateKeptGoalThen(t *testing.T) {
	g := newGame(t, "iihf")
	g.post(entry.At{}, entry.Goalkeeper{Side: entry.Home, Number: "1"})
	g.begin(1)
	g.post(at(1, 12, 0), entry.Goalkeeper{Side: entry.Home, Number: "1"})
	g.post(at(1, 6, 0), entry.Goalkeeper{Side: entry.Home, Number: "30"}) // forgotten, and entered after the other
	for _, minute := range []int{3, 8, 9, 15} {
		g.post(at(1, minute, 0), entry.Shots{Side: entry.Visitors, Count: 1})
	}
	s := mustFold(t, g.ledger)
	var spells []string
	for _, k := range s.Book.Keepers {
		spells = append(spells, string(k.Number)+" from "+k.From.Abs.String())
	}
	if want := []string{"1 from 0:00", "30 from 6:00", "1 from 12:00"}; !slices.Equal(spells, want) {
		t.Errorf("%q, want %q", spells, want)
	}
	counts := map[entry.Jersey]int{}
	for _, c := range s.Book.Shots {
		counts[c.Goalkeeper] += c.Count
	}
	if counts["1"] != 2 || counts["30"] != 2 {
		t.Errorf("shots at %v", counts)
	}
}

// TestAnOvertimeThatTheDivisionDoesNotKnow takes five minutes where it was begun
// without a length (common practice, no source), and the next one begins after it.
func TestAnOvertimeThatTheDivisionDoesNotKnow(t *testing.T) {
	g := newGame(t, "iihf")
	g.division.Overtime = rulebook.Overtime{}
	g = openGame(t, g.division)
	for period := 1; period <= 3; period++ {
		g.begin(period)
	}
	for n := 1; n <= 2; n++ {
		g.post(entry.At{Period: 3 + n}, entry.StageBegun{Stage: entry.Stage{Kind: entry.Overtime, Number: n}})
	}
	periods := mustFold(t, g.ledger).Periods
	if len(periods) != 5 || periods[3].Length != entry.Clock(5, 0) || periods[4].Abs != entry.Clock(65, 0) {
		t.Errorf("%+v", periods)
	}
}
