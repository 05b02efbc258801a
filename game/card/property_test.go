package card_test

import (
	"fmt"
	"testing"

	"pgregory.net/rapid"

	"whistlestop/game/card"
	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// drawGame draws a game with goals, calls, corrections of the clock, strikes and
// amendments, in which some whistles are ticked at once and others not.
func drawGame(t *rapid.T, c card.Card) *game {
	g := newGame(t, nil)
	g.use(c)
	for period := 1; period <= 2; period++ {
		g.period(period)
		for range rapid.IntRange(0, 6).Draw(t, "whistles") {
			to := g.at.Elapsed + entry.Millis(rapid.IntRange(1, 150).Draw(t, "seconds"))*1000
			if to >= entry.Clock(12, 0) {
				break
			}
			g.play(int(to/60_000), int(to/1000%60))
			for range rapid.IntRange(1, 3).Draw(t, "posts") {
				post(t, g)
			}
			if rapid.Bool().Draw(t, "ticks") {
				g.tickAll()
			}
		}
		if rapid.Bool().Draw(t, "played out") {
			g.play(12, 0)
			g.stage(entry.Intermission, period, entry.Clock(1, 0))
		}
	}
	return g
}

func post(t *rapid.T, g *game) {
	side := rapid.SampledFrom(entry.Sides[:]).Draw(t, "side")
	player := entry.Jersey(fmt.Sprint(rapid.IntRange(2, 6).Draw(t, "player")))
	switch rapid.IntRange(0, 7).Draw(t, "what") {
	case 0, 1:
		g.post(entry.Goal{Side: side, Scorer: player})
	case 2, 3, 4:
		g.post(entry.Penalty{Side: side, Player: player, Call: "tripping", Parts: rapid.SampledFrom([][]entry.Part{
			{entry.Minor}, {entry.Minor}, {entry.Minor, entry.Minor}, {entry.Major}, {entry.Minor, entry.Misconduct},
		}).Draw(t, "parts")})
	case 5:
		back := entry.Millis(rapid.IntRange(-20, 20).Draw(t, "back")) * 1000
		g.at.Elapsed = min(max(0, g.at.Elapsed-back), entry.Clock(11, 59))
		g.post(entry.ClockSet{Elapsed: g.at.Elapsed, Moves: rapid.Bool().Draw(t, "moves")})
	default:
		var list []rules.Line
		for _, line := range g.state().Lines {
			if (line.Kind == entry.KindGoal || line.Kind == entry.KindPenalty) && !line.Struck {
				list = append(list, line)
			}
		}
		if len(list) == 0 {
			return
		}
		line := rapid.SampledFrom(list).Draw(t, "line")
		if body, ok := line.Body.(entry.Penalty); ok && rapid.Bool().Draw(t, "amend") {
			body.Player = player
			at := g.at
			g.at = entry.At{Period: line.Moment.Period, Elapsed: line.Moment.Elapsed}
			g.of(line.Entry, entry.Amended{To: body})
			g.at = at
			return
		}
		g.of(line.Entry, entry.Struck{})
	}
}

// TestTickingAllLeavesNothing: after the steps were ticked once each, in their
// order, none is left, and none has come up.
func TestTickingAllLeavesNothing(t *testing.T) {
	c := saltworks(t)
	rapid.Check(t, func(t *rapid.T) {
		c.Board.PenaltyLines = rapid.IntRange(1, 4).Draw(t, "lines")
		c.Board.MostMinutes = rapid.IntRange(1, 6).Draw(t, "most")
		g := drawGame(t, c)
		before := g.look()
		for _, step := range before.Steps {
			g.post(entry.Ticked{Step: step.ID})
		}
		if v := g.look(); v.Waiting != 0 || len(v.Steps) != 0 {
			t.Fatalf("%d wait after\n%v\n%v", v.Waiting, texts(before.Steps), texts(v.Steps))
		}
	})
}

// TestStepsReachTheBoard plays the steps on a board of its own, which knows only
// the words of a card, and compares what it shows with what it should read.
func TestStepsReachTheBoard(t *testing.T) {
	c := saltworks(t)
	c.Steps = []card.Template{
		{When: card.Goal, Do: []string{"score {side} {score}"}},
		{When: card.GoalTakenBack, Do: []string{"score {side} {score}"}},
		{When: card.PenaltyPosted, Do: []string{"up {side} {number} {time}"}},
		{When: card.PenaltyChanged, Do: []string{"line {side} {line} {number} {time}"}},
		{When: card.PenaltyTakenDown, Do: []string{"down {side} {number}"}},
	}
	c.Words = card.Words{Home: "0", Visitors: "1", Officials: "2"}
	rapid.Check(t, func(t *rapid.T) {
		c.Board.PenaltyLines = rapid.IntRange(1, 4).Draw(t, "lines")
		g := drawGame(t, c)
		g.tickAll()
		before := g.state()
		was := card.Should(before, c, g.wall)
		lines := [2]map[string]string{{}, {}}
		score := was.Score
		for i, side := range was.Sides {
			for _, l := range side.Lines {
				lines[i][l.Number] = l.Text
			}
		}
		if before.Stage.Play() {
			g.post(entry.Goal{Side: entry.Home, Scorer: "9"})
			for _, line := range before.Lines {
				if line.Kind == entry.KindPenalty && !line.Struck && rapid.Bool().Draw(t, "struck") {
					g.of(line.Entry, entry.Struck{})
				}
			}
			g.post(minor(entry.Visitors, "24"))
		}
		after := g.state()
		for _, step := range card.Todo(before, after, c, g.wall) {
			var what, number, time string
			var side, n int
			if _, err := fmt.Sscanf(step.Text, "score %d %d", &side, &n); err == nil {
				score[side] = n
				continue
			}
			if _, err := fmt.Sscanf(step.Text, "line %d %d %s %s", &side, &n, &number, &time); err == nil {
				lines[side][number] = time
				continue
			}
			if _, err := fmt.Sscanf(step.Text, "%s %d %s %s", &what, &side, &number, &time); err == nil {
				lines[side][number] = time
				continue
			}
			if _, err := fmt.Sscanf(step.Text, "%s %d %s", &what, &side, &number); err != nil || what != "down" {
				t.Fatalf("what is %q? %v", step.Text, err)
			}
			delete(lines[side], number)
		}
		is := card.Should(after, c, g.wall)
		if score != is.Score {
			t.Fatalf("the board shows %v, and should %v", score, is.Score)
		}
		for i, side := range is.Sides {
			if len(lines[i]) != len(side.Lines) {
				t.Fatalf("side %d shows %v, and should %+v", i, lines[i], side.Lines)
			}
			for _, l := range side.Lines {
				if lines[i][l.Number] != l.Text {
					t.Fatalf("side %d shows %v, and should %+v", i, lines[i], side.Lines)
				}
			}
		}
	})
}
