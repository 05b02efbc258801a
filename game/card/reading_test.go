package card_test

import (
	"slices"
	"testing"

	"whistlestop/game/card"
	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
)

// TestSixBoards holds six types of boards against what a person worked out by
// hand. At 4:00 of the second period: Kelp Bay 7, minor at 3:10 (0:40 left);
// Kelp Bay 12, minor at 3:30 (1:00 left); Kelp Bay 21, minor at 4:00, waits.
// Lanternside 4, double minor at 3:00 (2:00 left), Lanternside 9, major at 3:20
// (4:20 left), Lanternside 30, misconduct; one minor each, Kelp Bay 15 and
// Lanternside 16, at 3:40: coincidental. The score is 3-1.
func TestSixBoards(t *testing.T) {
	play := func(t *testing.T) *game {
		g := newGame(t, nil)
		g.period(1)
		for range 3 {
			g.post(entry.Goal{Side: entry.Home, Scorer: "9"})
		}
		g.post(entry.Goal{Side: entry.Visitors, Scorer: "9"})
		g.play(12, 0)
		g.period(2)
		g.play(3, 0)
		g.post(entry.Penalty{Side: entry.Visitors, Player: "4", Call: "high_sticking", Parts: []entry.Part{entry.Minor, entry.Minor}})
		g.play(3, 10)
		g.post(minor(entry.Home, "7"))
		g.play(3, 20)
		g.post(entry.Penalty{Side: entry.Visitors, Player: "9", Call: "boarding", Parts: []entry.Part{entry.Major}})
		g.post(entry.Penalty{Side: entry.Visitors, Player: "30", Call: "abuse", Parts: []entry.Part{entry.Misconduct}})
		g.play(3, 30)
		g.post(minor(entry.Home, "12"))
		g.play(3, 40)
		g.post(minor(entry.Home, "15"))
		g.post(minor(entry.Visitors, "16"))
		g.play(4, 0)
		g.post(minor(entry.Home, "21"))
		return g
	}
	for _, test := range []struct {
		name                  string
		board                 card.Board
		home, visitors        []string
		homeBeside, visBeside []string
		hold                  bool // in the intermission
	}{
		{
			"no penalty lines", card.Board{NumberDigits: 1, MostMinutes: 9, CountsInIntermission: true},
			nil, nil, []string{"  0:40 no_line", "  1:00 no_line", "  1:30 waits"},
			[]string{"  2:00 no_line", "  4:20 no_line"}, false,
		},
		{
			"one line with numbers", card.Board{PenaltyLines: 1, ShowsNumbers: true, NumberDigits: 1, MostMinutes: 9},
			[]string{"7 0:40"}, []string{"4 2:00"},
			[]string{"12 1:00 no_line", "21 1:30 waits"}, []string{"9 4:20 no_line"}, false,
		},
		{
			"two lines, two digits, counting in intermissions",
			card.Board{PenaltyLines: 2, ShowsNumbers: true, NumberDigits: 2, MostMinutes: 9, CountsInIntermission: true},
			[]string{"07 0:40", "12 1:00"}, []string{"04 2:00", "09 4:20"}, []string{"21 1:30 waits"}, nil, true,
		},
		{
			"two lines without numbers", card.Board{PenaltyLines: 2, NumberDigits: 1, MostMinutes: 9},
			[]string{" 0:40", " 1:00"}, []string{" 2:00", " 4:20"}, []string{"  1:30 waits"}, nil, false,
		},
		{
			// A double minor of 3:00 fits, a major with 4:20 left does not.
			"three lines of at most four minutes",
			card.Board{PenaltyLines: 3, ShowsNumbers: true, NumberDigits: 1, MostMinutes: 4, CountsInIntermission: true},
			[]string{"7 0:40", "12 1:00"}, []string{"4 2:00"}, []string{"21 1:30 waits"}, []string{"9 4:20 too_long"}, true,
		},
		{
			// Two minutes a line: the double minor is posted as two minors.
			"four lines of at most two minutes",
			card.Board{PenaltyLines: 4, ShowsNumbers: true, NumberDigits: 2, MostMinutes: 2},
			[]string{"07 0:40", "12 1:00"}, []string{"04 0:30"},
			[]string{"21 1:30 waits"}, []string{"04 1:30 after", "09 4:20 too_long"}, false,
		},
	} {
		t.Run(test.name, func(t *testing.T) {
			g := play(t)
			c := card.Card{Board: test.board}
			c.Board.CountsDown = true
			r := card.Should(g.state(), c, g.wall)
			for i, want := range [][2][]string{{test.home, test.homeBeside}, {test.visitors, test.visBeside}} {
				var lines, beside []string
				for _, l := range r.Sides[i].Lines {
					lines = append(lines, l.Number+" "+l.Text)
				}
				for _, b := range r.Sides[i].Beside {
					number := b.Number
					if number == "" {
						number = " "
					}
					beside = append(beside, number+" "+b.Text+" "+string(b.Why))
				}
				if !slices.Equal(lines, want[0]) || !slices.Equal(beside, want[1]) {
					t.Errorf("side %d reads %q beside %q, want %q beside %q", i, lines, beside, want[0], want[1])
				}
			}
			if r.Score != [2]int{3, 1} || r.Period != 2 || r.Text != "8:00" || r.Hold {
				t.Errorf("reads %v, period %d, clock %s, hold %v", r.Score, r.Period, r.Text, r.Hold)
			}
			// A penalty of 11:30 goes on after the intermission, and must read the same.
			late := newGame(t, nil)
			late.period(1)
			late.play(11, 30)
			late.post(minor(entry.Home, "7"))
			late.play(12, 0)
			late.stage(entry.Intermission, 1, entry.Clock(1, 0))
			late.wall += 20_000
			r = card.Should(late.state(), c, late.wall)
			if r.Hold != test.hold || r.Text != "0:40" || r.Period != 1 {
				t.Errorf("in the intermission: hold %v, want %v; clock %s, period %d", r.Hold, test.hold, r.Text, r.Period)
			}
			if n := len(r.Sides[0].Lines); n > 0 && r.Sides[0].Lines[0].Text != "1:00" {
				t.Errorf("in the intermission the line reads %s", r.Sides[0].Lines[0].Text)
			}
		})
	}
}

func TestCappedLead(t *testing.T) {
	g := newGame(t, func(d *rulebook.Division) { d.Display.LeadAtMost = 2 })
	g.period(1)
	for range 4 {
		g.post(entry.Goal{Side: entry.Home, Scorer: "9"})
	}
	if r := card.Should(g.state(), saltworks(t), g.wall); r.Score != [2]int{2, 0} {
		t.Errorf("the board reads %v", r.Score)
	}
	g.use(saltworks(t))
	g.post(entry.Goal{Side: entry.Visitors, Scorer: "9"})
	want := []string{
		"goal: Tap the home bell once. The home score reads 3.",
		"goal: Tap the guest bell once. The guest score reads 1.",
	}
	if got := texts(g.look().Steps); !slices.Equal(got, want) {
		t.Errorf("after the visitors' goal: %q", got)
	}
}

func TestClockThatCountsUp(t *testing.T) {
	g := newGame(t, nil)
	g.period(1)
	g.play(4, 5)
	c := saltworks(t)
	c.Board.CountsDown = false
	if r := card.Should(g.state(), c, g.wall); r.Text != "4:05" || r.Clock != entry.Clock(4, 5) {
		t.Errorf("reads %s (%d)", r.Text, r.Clock)
	}
}
