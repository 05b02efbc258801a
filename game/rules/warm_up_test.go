package rules_test

import (
	"slices"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// TestCalledInWarmUp: a penalty before the first face-off is accepted, served
// from 0:00 of the first period, and is of one stoppage with what is called
// before the puck drops (common practice, no source).
func TestCalledInWarmUp(t *testing.T) {
	g := newGame(t, "usah-youth")
	g.post(entry.At{}, entry.StageBegun{Stage: entry.Stage{Kind: entry.WarmUp}, Length: entry.Clock(5, 0), Running: true})
	fight := entry.Penalty{Side: entry.Home, Player: "6", Call: "roughing", Parts: []entry.Part{entry.Minor}}
	p := rules.Consider(g.ledger, []entry.Entry{{ID: id26(9999), Game: gameID, Seat: entry.Solo, Body: fight}}, 0)
	if len(p.Refused) > 0 {
		t.Fatalf("refused: %+v", p.Refused)
	}
	if goal := rules.Consider(g.ledger, []entry.Entry{{ID: id26(9999), Game: gameID, Seat: entry.Solo, Body: entry.Goal{Side: entry.Home}}}, 0); len(goal.Refused) == 0 {
		t.Error("a goal in warm-up is accepted")
	}
	id := g.post(entry.At{}, fight)
	g.begin(1)
	s := mustFold(t, g.ledger)
	if c := s.Calls[0]; !c.WarmUp || c.Moment.Period != 1 || c.Moment.Elapsed != 0 {
		t.Errorf("called %+v", c)
	}
	if term := s.Terms[0]; term.Start.Abs != 0 || term.End.Abs != entry.Clock(2, 0) || s.Strength[0].Skaters != [2]int{4, 5} {
		t.Errorf("served %+v, %v", term, s.Strength[0])
	}
	if said := followed(s, id); !slices.Contains(said, "follows.warm_up") {
		t.Errorf("said %v", said)
	}
	g.call(at(1, 0, 0), entry.Visitors, "8", "roughing", entry.Minor)
	if s = mustFold(t, g.ledger); !s.Terms[0].Matched || !s.Terms[1].Matched || s.Calls[1].WarmUp {
		t.Errorf("not matched: %+v", s.Terms)
	}
}

// TestFourOnThreeCarried: a pair of minors and one more of the visitors carried
// into three against three. The pair runs out in play: each side gets a player
// back until the next whistle, "five on four" and "five on five" in the words of
// NHL 84.3 and IIHF 84.3; a whistle in between levels them to four on three.
func TestFourOnThreeCarried(t *testing.T) {
	for name, c := range map[string]struct {
		whistle bool
		want    [][2]int
	}{
		"no whistle": {false, [][2]int{{4, 3}, {5, 4}, {5, 4}, {5, 5}}},
		"a whistle":  {true, [][2]int{{4, 3}, {5, 4}, {4, 3}, {4, 4}}},
	} {
		t.Run(name, func(t *testing.T) {
			g := newGame(t, "nhl")
			for period := 1; period <= 3; period++ {
				g.begin(period)
			}
			g.call(at(3, 18, 40), entry.Home, "3", "roughing", entry.Minor)
			g.call(at(3, 18, 40), entry.Visitors, "4", "roughing", entry.Minor)
			g.call(at(3, 19, 30), entry.Visitors, "5", "tripping", entry.Minor)
			g.begin(4)
			if c.whistle {
				g.post(at(4, 1, 0), entry.ClockStopped{Elapsed: entry.Clock(1, 0)})
			}
			s := mustFold(t, g.ledger)
			var got [][2]int
			for _, seconds := range []int{0, 41, 61, 91} { // the pair is over at 0:40, the third at 1:30
				got = append(got, skatersAt(s, entry.Clock(60, seconds)))
			}
			if !slices.Equal(got, c.want) {
				t.Errorf("%v, not %v", got, c.want)
			}
		})
	}
}
