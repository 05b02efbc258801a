package rules_test

import (
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
)

// bareGame is what the bare loop keeps of a game.
type bareGame struct {
	division rulebook.Division
	period   int
	runs     bool
	at       entry.Millis
	score    map[entry.Side]int
	goals    []entry.Goal
	calls    []bareCall
	rows     []bareRow
}

type bareCall struct {
	entry.Penalty
	period        int
	begins, until entry.Millis
	over          bool
}

type bareRow struct {
	id   string
	kind entry.Kind
	at   entry.At
}

// bare goes over a ledger once, as anybody would write it who knows no rule but that a
// penalty lasts as long as its parts: the yardstick of a fold, over the same structs.
func bare(ledger []entry.Entry) (*bareGame, error) {
	g := &bareGame{score: map[entry.Side]int{}}
	newest := map[string]entry.Body{}
	for _, e := range ledger {
		if to, is := e.Body.(entry.Amended); is {
			newest[e.Of] = to.To
		}
	}
	for _, e := range ledger {
		body := e.Body
		if to, amended := newest[e.ID]; amended {
			body = to
		}
		g.rows = append(g.rows, bareRow{e.ID, body.Kind(), e.At})
		switch b := body.(type) {
		case entry.GameOpened:
			var err error
			if g.division, err = rulebook.DivisionFromJSON(b.Division); err != nil {
				return nil, err
			}
		case entry.StageBegun:
			g.period, g.at, g.runs = b.Stage.Number, 0, b.Running
		case entry.ClockStarted:
			g.at, g.runs = b.Elapsed, true
		case entry.ClockStopped:
			g.at, g.runs = b.Elapsed, false
			for i := range g.calls {
				c := &g.calls[i]
				c.over = c.over || c.period < g.period || c.until <= g.at
			}
		case entry.Goal:
			g.score[b.Side]++
			g.goals = append(g.goals, b)
		case entry.Penalty:
			c := bareCall{Penalty: b, period: e.At.Period, begins: e.At.Elapsed, until: e.At.Elapsed}
			for _, part := range b.Parts {
				c.until += g.division.LengthOf(part, false)
			}
			g.calls = append(g.calls, c)
		}
	}
	return g, nil
}

// BenchmarkBareLoop is the yardstick of BenchmarkFold: the same ledger.
func BenchmarkBareLoop(b *testing.B) {
	ledger := fullGame(b)
	b.ReportAllocs()
	for b.Loop() {
		if g, err := bare(ledger); err != nil || len(g.goals) == 0 || len(g.rows) != len(ledger) {
			b.Fatal(g, err)
		}
	}
}
