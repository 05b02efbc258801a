package rules_test

import (
	"bytes"
	"encoding/json"
	"math/rand/v2"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

func minor(side entry.Side, number entry.Jersey) entry.Penalty {
	return entry.Penalty{Side: side, Player: number, Call: "tripping", Parts: []entry.Part{entry.Minor}}
}

// 5 and 05 are one player in every field (common practice, no source): the second
// minor waits for the first, the goalkeeper and the server are found on the roster.
func TestANumberWrittenInTwoWaysIsOnePlayer(t *testing.T) {
	g := newGame(t, "nhl") // the roster has 5, 7 and 30
	g.begin(1)
	g.post(at1(5, 0), minor(entry.Home, "5"))
	g.post(at1(5, 0), minor(entry.Home, "05"))
	g.post(at1(6, 0), entry.Penalty{Side: entry.Visitors, Bench: true, ServedBy: "07", Call: "too_many_players", Parts: []entry.Part{entry.BenchMinor}})
	g.post(at1(6, 30), entry.Goal{Side: entry.Home, Scorer: "09", Assists: []entry.Jersey{"08"}, OnIce: entry.OnIce{Home: []entry.Jersey{"09", "08"}}})
	g.post(at1(6, 40), entry.Goalkeeper{Side: entry.Home, Number: "01"})
	g.post(at1(6, 40), entry.Seated{Side: entry.Visitors, Player: "07", In: true})
	s := mustFold(t, g.ledger)
	for _, term := range s.Terms {
		if term.Side == entry.Home && (term.Player != "5" || term.Row != s.Terms[0].Row) {
			t.Errorf("a term is %+v", term)
		}
	}
	if second := s.Terms[1]; second.Start.Abs != entry.Clock(7, 0) {
		t.Errorf("the second minor begins at %s", second.Start.Elapsed)
	}
	goal := s.Goals[0]
	if goal.Scorer != "9" || goal.Assists[0] != "8" || goal.OnIce.Home[0] != "9" || s.Teams[0].Goalkeeper != "1" || s.Terms[2].Sits != "7" {
		t.Errorf("the goal is %+v, the goalkeeper %s, the server %s", goal, s.Teams[0].Goalkeeper, s.Terms[2].Sits)
	}
	for _, item := range s.Owed {
		if item.Say.Key == "owed.roster" {
			t.Errorf("owed: %+v", item)
		}
	}
	p := rules.Consider(g.ledger, []entry.Entry{{
		ID: id26(99), Game: gameID, Seat: entry.Solo, At: at1(7, 0), Body: entry.Goal{Side: entry.Home, Scorer: "9", Assists: []entry.Jersey{"09"}},
	}}, g.wall)
	if len(p.Refused) != 1 || p.Refused[0].Say.Key != "refused.own_assist" {
		t.Errorf("an assist to the own goal: %+v", p.Refused)
	}
}

// A roster that was written 05 shows 05, also for what was entered before it came.
func TestANumberIsShownAsRostered(t *testing.T) {
	g := newGame(t, "nhl")
	g.begin(1)
	g.post(at1(5, 0), minor(entry.Home, "5"))
	g.post(at1(6, 0), entry.RosterSet{Side: entry.Home, Team: entry.Team{Name: "Kelp Bay", Players: []entry.Player{{Number: "05"}, {Number: "00"}, {Number: "0"}}}})
	g.post(at1(7, 0), minor(entry.Home, "0"))
	g.post(at1(7, 0), minor(entry.Home, "00"))
	s := mustFold(t, g.ledger)
	for i, want := range []entry.Jersey{"05", "0", "00"} {
		if s.Terms[i].Player != want {
			t.Errorf("term %d is %s's, want %s", i, s.Terms[i].Player, want)
		}
	}
	// Both on one roster were two players, and stay so.
	g.post(at1(8, 0), entry.RosterSet{Side: entry.Home, Team: entry.Team{Name: "Kelp Bay", Players: []entry.Player{{Number: "05"}, {Number: "5"}}}})
	g.post(at1(8, 0), minor(entry.Home, "05"))
	s = mustFold(t, g.ledger)
	if s.Terms[0].Player != "5" || s.Terms[3].Player != "05" {
		t.Errorf("%s and %s", s.Terms[0].Player, s.Terms[3].Player)
	}
}

// In any game it makes no difference how a number is written: the state is the
// same but for what was typed.
func TestTheWritingOfANumberChangesNothing(t *testing.T) {
	for seed := range uint64(60) {
		build := func(vary bool) []byte {
			rnd := rand.New(rand.NewPCG(seed, 6))
			other := rand.New(rand.NewPCG(seed, 8))
			g := newGame(t, storyCodes[int(seed)%len(storyCodes)])
			g.begin(1)
			for n := range 12 {
				j := jersey(2 + rnd.IntN(8))
				if vary && other.IntN(2) == 0 {
					j = "0" + j
				}
				at, side := at1(1+n, 0), entry.Sides[rnd.IntN(2)]
				if rnd.IntN(3) == 0 {
					g.post(at, entry.Goal{Side: side, Scorer: j, Unassisted: true})
				} else {
					g.post(at, entry.Penalty{Side: side, Player: j, Call: "roughing", Parts: storyParts[rnd.IntN(2)]})
				}
			}
			raw, err := json.Marshal(mustFold(t, g.ledger))
			if err != nil {
				t.Fatal(err)
			}
			return raw
		}
		if a, b := build(false), build(true); !bytes.Equal(a, b) {
			t.Fatalf("seed %d: the states differ", seed)
		}
	}
}
