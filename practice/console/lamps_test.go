package console_test

import (
	"slices"
	"strings"
	"testing"

	"whistlestop/game/card"
	"whistlestop/game/entry"
	"whistlestop/internal/demo"
	"whistlestop/practice/console"
)

// lampCard is the demo's card with lamps: one of each side that a goal lights, and the next
// penalty puts out.
func lampCard(t *testing.T) card.Card {
	t.Helper()
	text := string(demo.Card().Text)
	for _, change := range [][2]string{
		{"most_minutes = 9 ", "lamps = \"home lamp, guest lamp\"\nmost_minutes = 9 "},
		{"when = \"goal\"\n", "when = \"goal\"\nlit = [\"{side} lamp\"]\n"},
		{"when = \"penalty_posted\"\n", "when = \"penalty_posted\"\ndark = [\"\", \"home lamp, guest lamp\"]\n"},
	} {
		if !strings.Contains(text, change[0]) {
			t.Fatal(change[0])
		}
		text = strings.Replace(text, change[0], change[1], 1)
	}
	c, err := card.Parse([]byte(text), "lamps.toml")
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// TestAWrongLampIsSeen: the board has the lamps as the card says after each step, a bench that
// entered the goal of the other side is told by the lamp alone that something is wrong, and a
// board with another lamp is another board.
func TestAWrongLampIsSeen(t *testing.T) {
	c := lampCard(t)
	d, err := console.Make(console.WholeGame, c, division(t), 3)
	if err != nil {
		t.Fatal(err)
	}
	p := console.Begin(d)
	goals := 0
	for !p.Seen().Over {
		s := p.Seen()
		if s.Bench == nil || s.Bench.Entered > 0 || s.Next != "" || s.Back || slices.ContainsFunc(s.Steps, func(one card.Step) bool { return !one.Ticked }) {
			right(p, 0)
			continue
		}
		if goal, is := said(s).(entry.Goal); is {
			goals++
			lamp, other := c.Words.Home+" lamp", c.Words.Visitors+" lamp"
			if goal.Side == entry.Visitors {
				lamp, other = other, lamp
			}
			if !slices.Contains(s.Board.Lamps, lamp) {
				t.Errorf("after a goal the board shows %v, and should %q", s.Board.Lamps, lamp)
			}
			p.Act(console.Act{Do: console.Enter, Posted: posted(p, entry.Goal{Side: goal.Side.Other(), Scorer: goal.Scorer}, "")})
			wrong := p.Seen()
			if !slices.Contains(wrong.Bench.Board.Lamps, other) || wrong.Bench.Agrees {
				t.Errorf("the bench with the other side's goal: %+v", wrong.Bench)
			}
			ledger, _ := p.Ledger()
			p.Act(console.Act{Do: console.Enter, Posted: posted(p, entry.Struck{}, ledger[len(ledger)-1].ID)})
			p.Act(console.Act{Do: console.Enter, Posted: posted(p, goal, "")})
			if now := p.Seen(); !now.Bench.Agrees {
				t.Errorf("put right: %+v, the board %+v", now.Bench, now.Board)
			}
			p.Act(console.Act{Do: console.Ready})
			continue
		}
		right(p, 0)
		if s = p.Seen(); len(s.Board.Lamps) > 0 {
			t.Errorf("after a penalty the board shows %v", s.Board.Lamps)
		}
	}
	if goals == 0 {
		t.Fatal("no goal in the game")
	}
	board := p.Seen().Board
	lit := board
	if lit.Lamps = []string{"home lamp"}; len(board.Lamps) > 0 {
		lit.Lamps = nil
	}
	if console.Same(board, lit) {
		t.Errorf("%v and %v are the same", board.Lamps, lit.Lamps)
	}
}
