package report_test

import (
	"testing"

	"whistlestop/game/entry"
)

// TestChances holds the power plays of a side to their definition in
// docs/statistics.md: a penalty of the other side that makes or lengthens an
// advantage, if any of it was played.
func TestChances(t *testing.T) {
	minor := []entry.Part{entry.Minor}
	type call struct {
		minute, second int
		side           entry.Side
		player         entry.Jersey
		parts          []entry.Part
	}
	for name, c := range map[string]struct {
		calls []call
		goals []call // of a side, in play
		want  [2]int // chances of home, visitors
	}{
		"one minor": {[]call{{3, 0, entry.Visitors, "4", minor}}, nil, [2]int{1, 0}},
		"two, the second lengthens": {
			[]call{{3, 0, entry.Visitors, "4", minor}, {4, 0, entry.Visitors, "5", minor}}, nil, [2]int{2, 0}},
		"equal, and then ahead when the first is over": {
			[]call{{3, 0, entry.Visitors, "4", minor}, {4, 0, entry.Home, "5", minor}}, nil, [2]int{1, 1}},
		"only four on four: over before the other side's": {
			[]call{{3, 0, entry.Visitors, "4", []entry.Part{entry.Major}}, {4, 0, entry.Home, "5", minor}}, nil, [2]int{1, 0}},
		// Home is short, visitors' 4 makes four on four, visitors' 5 the advantage, and
		// the goal ends 4's minor before home's own is over.
		"only four on four beside one that makes the advantage": {
			[]call{{3, 0, entry.Home, "5", []entry.Part{entry.Major}}, {4, 0, entry.Visitors, "4", minor}, {5, 0, entry.Visitors, "5", minor}},
			[]call{{5, 30, entry.Home, "9", nil}}, [2]int{1, 1}},
		// The second half begins with the goal at 4:00 and ends with the one at the same
		// reading; the third penalty takes its place, so the advantage goes on.
		"a half of no length": {
			[]call{
				{3, 0, entry.Visitors, "4", []entry.Part{entry.Minor, entry.Minor}},
				{3, 10, entry.Visitors, "5", []entry.Part{entry.Major}}, {3, 20, entry.Visitors, "6", minor},
			},
			[]call{{4, 0, entry.Home, "9", nil}, {4, 0, entry.Home, "9", nil}}, [2]int{3, 0}},
		"a double minor served": {
			[]call{{3, 0, entry.Visitors, "4", []entry.Part{entry.Minor, entry.Minor}}}, nil, [2]int{2, 0}},
		"matched": {
			[]call{{3, 0, entry.Visitors, "4", minor}, {3, 0, entry.Home, "5", minor}}, nil, [2]int{0, 0}},
	} {
		t.Run(name, func(t *testing.T) {
			g := newTape(t)
			g.period(1)
			for _, p := range c.calls {
				g.post(1, p.minute, p.second, entry.Penalty{Side: p.side, Player: p.player, Call: "hooking", Parts: p.parts})
			}
			for _, p := range c.goals {
				g.post(1, p.minute, p.second, entry.Goal{Side: p.side, Scorer: p.player, Unassisted: true})
			}
			g.post(1, 15, 0, entry.ClockStopped{Elapsed: entry.Clock(15, 0)})
			sides := g.build("").Totals.Sides
			if got := [2]int{sides[0].PowerPlays.Chances, sides[1].PowerPlays.Chances}; got != c.want {
				t.Errorf("%v chances, not %v", got, c.want)
			}
		})
	}
}
