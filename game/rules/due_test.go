package rules_test

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// dueAt lists whom a screen names at a moment of play: "17" comes out soon or
// just has, "17 waits" has served the time and waits for a whistle.
func dueAt(s rules.State, abs entry.Millis) string {
	var names []string
	for _, d := range s.Due {
		if d.From > abs || d.Until < abs {
			continue
		}
		name := string(d.Sits)
		if d.Door == rules.NextWhistle {
			name += " waits"
		}
		names = append(names, name)
	}
	return strings.Join(names, ", ")
}

type dueCheck struct {
	at   entry.Millis
	want string
}

func checkDue(t *testing.T, s rules.State, checks ...dueCheck) {
	t.Helper()
	for _, c := range checks {
		if got := dueAt(s, c.at); got != c.want {
			t.Errorf("at %s (%d ms): %q is due, want %q", c.at, c.at, got, c.want)
		}
	}
}

func at1(minute, second int) entry.At {
	return entry.At{Period: 1, Elapsed: entry.Clock(minute, second)}
}

// clock posts that the clock of the first period stopped, or was started.
func (g *game) stop(at entry.At)  { g.post(at, entry.ClockStopped{Elapsed: at.Elapsed}) }
func (g *game) start(at entry.At) { g.post(at, entry.ClockStarted{Elapsed: at.Elapsed}) }

// A penalty that runs out in play (two minutes from 5:00, NHL Rule 16.1) is due
// from ten seconds before (common practice, no source) until a little after.
func TestAReleaseByTimeIsDueAroundItsMoment(t *testing.T) {
	g := newGame(t, "nhl")
	g.begin(1)
	g.stop(at1(5, 0))
	g.post(at1(5, 0), entry.Penalty{Side: entry.Home, Player: "17", Call: "tripping", Parts: []entry.Part{entry.Minor}})
	g.start(at1(5, 0))
	out := entry.Clock(7, 0)
	s := mustFold(t, g.ledger)
	checkDue(t, s,
		dueCheck{out - 10_001, ""}, dueCheck{out - 10_000, "17"}, dueCheck{out, "17"},
		dueCheck{out + 10_000, "17"}, dueCheck{out + 10_001, ""})
	if d := s.Due[0]; d.Player != "17" || d.Bench || d.Why.Key != "why.time" || d.Moment.Left != entry.Clock(13, 0) {
		t.Errorf("the release is %+v", d)
	}

	// A whistle four seconds later: play going on ends it.
	whistle := entry.Clock(7, 4)
	g.stop(at1(7, 4))
	checkDue(t, mustFold(t, g.ledger), dueCheck{whistle, "17"}, dueCheck{whistle + 1, ""})

	// The Box seat has seen him leave.
	g.post(at1(7, 4), entry.Seated{Side: entry.Home, Player: "17"})
	checkDue(t, mustFold(t, g.ledger), dueCheck{whistle, ""})
}

// A player who left the box too early is still due when his time comes: nobody has
// looked at that gate since.
func TestLeavingTooEarlyConfirmsNothing(t *testing.T) {
	g := newGame(t, "nhl")
	g.begin(1)
	g.stop(at1(5, 0))
	g.post(at1(5, 0), entry.Penalty{Side: entry.Home, Player: "17", Call: "tripping", Parts: []entry.Part{entry.Minor}})
	g.post(at1(5, 30), entry.Seated{Side: entry.Home, Player: "17"})
	checkDue(t, mustFold(t, g.ledger), dueCheck{entry.Clock(7, 0), "17"})
}

// After a power-play goal (NHL Rule 16.2) the player is due at that whistle, and
// not after the puck was dropped.
func TestAReleaseByAGoalIsDueUntilPlayGoesOn(t *testing.T) {
	g := newGame(t, "nhl")
	g.begin(1)
	g.stop(at1(5, 0))
	g.post(at1(5, 0), entry.Penalty{Side: entry.Home, Player: "17", Call: "tripping", Parts: []entry.Part{entry.Minor}})
	g.start(at1(5, 0))
	g.stop(at1(6, 0))
	before := mustFold(t, g.ledger)
	checkDue(t, before, dueCheck{entry.Clock(6, 0), ""})
	g.post(at1(6, 0), entry.Goal{Side: entry.Visitors, Scorer: "9"})
	at := entry.Clock(6, 0)
	s := mustFold(t, g.ledger)
	checkDue(t, s, dueCheck{at - 1, ""}, dueCheck{at, "17"}, dueCheck{at + 1, ""}, dueCheck{entry.Clock(7, 0), ""})
	if s.Due[0].Why.Key != "why.goal" {
		t.Errorf("the reason is %q", s.Due[0].Why.Key)
	}
	g.post(at1(6, 0), entry.Seated{Side: entry.Home, Player: "17"})
	checkDue(t, mustFold(t, g.ledger), dueCheck{at, ""})
}

// With running time the clock goes on while the goal is entered: the release is
// news when it is entered, however far play has come by then.
func TestAGoalEnteredLateLetsSomebodyOutLate(t *testing.T) {
	g := newGame(t, "nhl")
	g.begin(1)
	g.post(at1(0, 0), entry.RunningTime{On: true})
	g.start(at1(0, 0))
	g.post(at1(5, 0), entry.Penalty{Side: entry.Home, Player: "17", Call: "tripping", Parts: []entry.Part{entry.Minor}})
	began := entry.Millis(0)
	for _, e := range g.ledger {
		if e.Kind() == entry.KindClockStarted {
			began = e.Wall
		}
	}
	g.wall = began + entry.Clock(6, 39)
	goal := g.post(at1(6, 0), entry.Goal{Side: entry.Visitors, Scorer: "9"}) // made at 6:40 of the clock
	entered := entry.Clock(6, 40)
	s := mustFold(t, g.ledger)
	checkDue(t, s, dueCheck{entered, "17"}, dueCheck{entered + 10_000, "17"}, dueCheck{entered + 10_001, ""})

	// Amended a minute later to the other side's goal, and back: news again.
	g.wall = began + entry.Clock(6, 54)
	other := g.of(goal, at1(6, 0), entry.Amended{To: entry.Goal{Side: entry.Home, Scorer: "9"}})
	checkDue(t, mustFold(t, g.ledger), dueCheck{entry.Clock(6, 56), "17"}) // by time, at 7:00
	g.of(other, at1(6, 0), entry.Amended{To: entry.Goal{Side: entry.Visitors, Scorer: "9"}})
	checkDue(t, mustFold(t, g.ledger), dueCheck{entry.Clock(6, 56), "17"}, dueCheck{entry.Clock(7, 5), "17"}, dueCheck{entry.Clock(7, 7), ""})
}

// A misconduct ends at no gate: whoever has served it waits for a whistle, leaves
// at it and is due until play goes on (NHL Rule 22.2).
func TestWhoeverWaitsForAWhistleIsDueAtIt(t *testing.T) {
	g := newGame(t, "nhl")
	g.begin(1)
	g.stop(at1(2, 0))
	g.post(at1(2, 0), entry.Penalty{Side: entry.Visitors, Player: "21", Call: "misconduct", Parts: []entry.Part{entry.Misconduct}})
	g.start(at1(2, 0))
	served := entry.Clock(12, 0)
	checkDue(t, mustFold(t, g.ledger), dueCheck{served - 1, ""}, dueCheck{served, "21 waits"}, dueCheck{served + 60_000, "21 waits"})
	g.stop(at1(12, 30))
	whistle := entry.Clock(12, 30)
	checkDue(t, mustFold(t, g.ledger), dueCheck{whistle, "21"}, dueCheck{whistle + 1, ""})
}

// Somebody who sits for the bench, and somebody whom nobody named.
func TestADueReleaseKnowsForWhomSomebodySits(t *testing.T) {
	g := newGame(t, "nhl")
	g.begin(1)
	g.stop(at1(1, 0))
	g.post(at1(1, 0), entry.Penalty{Side: entry.Home, Bench: true, ServedBy: "8", Call: "too_many_players", Parts: []entry.Part{entry.BenchMinor}})
	g.post(at1(1, 0), entry.Penalty{Side: entry.Visitors, Player: "1", Call: "tripping", Parts: []entry.Part{entry.Minor}})
	g.start(at1(1, 0))
	s := mustFold(t, g.ledger)
	var got []string
	for _, d := range s.Due {
		if d.Door == rules.AtEnd {
			got = append(got, string(d.Side)+" "+string(d.Sits)+"/"+string(d.Player))
		}
	}
	if want := []string{"home 8/", "visitors /1"}; !slices.Equal(got, want) {
		t.Errorf("due are %q, want %q", got, want)
	}
	g.post(entry.At{}, entry.StageBegun{Stage: entry.Stage{Kind: entry.Over}})
	if s := mustFold(t, g.ledger); len(s.Due) != 0 {
		t.Errorf("after the game %v are due", s.Due)
	}
}

// In any game, everybody who will leave the box after this moment is said at the
// moment of leaving, once, with the number and the side of the release.
func TestEveryReleaseToComeIsDueOnce(t *testing.T) {
	said := 0
	for seed := range uint64(300) {
		rnd := rand.New(rand.NewPCG(seed, 7))
		g := newGame(t, storyCodes[rnd.IntN(len(storyCodes))])
		g.begin(1)
		now := entry.Millis(0)
		for range 3 + rnd.IntN(10) {
			now += entry.Millis(rnd.IntN(120_000))
			at := entry.At{Period: 1, Elapsed: now}
			g.stop(at)
			for range rnd.IntN(3) {
				side := entry.Sides[rnd.IntN(2)]
				if rnd.IntN(4) == 0 {
					g.post(at, entry.Goal{Side: side, Scorer: "9"})
					continue
				}
				parts := storyParts[rnd.IntN(len(storyParts))]
				p := entry.Penalty{Side: side, Player: jersey(2 + rnd.IntN(20)), Call: "roughing", Parts: parts}
				if parts[0] == entry.BenchMinor {
					p.Player, p.Bench, p.ServedBy = "", true, "25"
				}
				g.post(at, p)
			}
			if rnd.IntN(5) > 0 {
				g.start(at)
			}
		}
		s := mustFold(t, g.ledger)
		for _, d := range s.Due {
			if d.From > d.Until || d.Until < now {
				t.Fatalf("seed %d: a window that never comes: %+v", seed, d)
			}
		}
		for _, r := range s.Releases {
			if r.Moment.Abs < now || r.Door == rules.NextWhistle {
				continue
			}
			count := 0
			for _, d := range s.Due {
				if d.Term == r.Term && d.Door == r.Door && d.Side == r.Side && d.Sits == r.Sits &&
					d.From <= r.Moment.Abs && r.Moment.Abs <= d.Until {
					count++
				}
			}
			if said++; count != 1 {
				t.Fatalf("seed %d: %s %s leaves at %s and is said %d times", seed, r.Side, r.Sits, r.Moment.Elapsed, count)
			}
		}
	}
	if said < 500 {
		t.Errorf("only %d releases were looked at", said)
	}
}
