package rules_test

import (
	"encoding/json"
	"fmt"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
)

const gameID = "01JGAME0000000000000000000"

func id26(n int) string { return fmt.Sprintf("01JTEST%019d", n) }

// game builds the ledger of an invented game of the Harbour League.
type game struct {
	tb       testing.TB
	division rulebook.Division
	ledger   []entry.Entry
	wall     entry.Millis
}

// newGame opens a game under a code, with the code's own lengths and periods of
// twenty minutes.
func newGame(tb testing.TB, code string) *game {
	tb.Helper()
	c, ok := rulebook.CodeByID(code)
	if !ok {
		tb.Fatalf("no code %q", code)
	}
	return openGame(tb, rulebook.Division{
		ID: "test", Name: "Test", Code: code, Skaters: 5, Lengths: c.Lengths,
		WarmUp:        entry.Clock(5, 0),
		Periods:       []entry.Millis{entry.Clock(20, 0), entry.Clock(20, 0), entry.Clock(20, 0)},
		Intermissions: []entry.Millis{entry.Clock(1, 0), entry.Clock(1, 0)},
		Overtime:      overtimeOf(entry.Clock(5, 0), 3, false),
		TimeOut:       rulebook.TimeOut{Each: 1, Length: entry.Clock(0, 30)},
	})
}

func openGame(tb testing.TB, d rulebook.Division) *game {
	tb.Helper()
	raw, err := json.Marshal(d)
	if err != nil {
		tb.Fatal(err)
	}
	g := &game{tb: tb, division: d, wall: 1_790_000_000_000}
	g.post(entry.At{}, entry.GameOpened{
		Division: raw, Number: "HL-14", Venue: "Saltworks Arena", Date: "2026-11-25",
		Home: entry.Team{Name: "Kelp Bay", Players: roster()}, Visitors: entry.Team{Name: "Lanternside", Players: roster()},
	})
	return g
}

func roster() []entry.Player {
	list := []entry.Player{{Number: "1", Goalkeeper: true}, {Number: "30", Goalkeeper: true}}
	for n := 2; n <= 25; n++ {
		list = append(list, entry.Player{Number: jersey(n)})
	}
	return list
}

// post appends an entry and returns its id.
func (g *game) post(at entry.At, body entry.Body) string {
	g.wall += 1000
	e := entry.Entry{
		ID: id26(len(g.ledger) + 1), Game: gameID, Seq: len(g.ledger) + 1, At: at, Wall: g.wall,
		Seat: entry.Solo, Body: body,
	}
	g.ledger = append(g.ledger, e)
	return e.ID
}

// of posts an amendment or a strike of an entry.
func (g *game) of(id string, at entry.At, body entry.Body) string {
	mine := g.post(at, body)
	g.ledger[len(g.ledger)-1].Of = id
	return mine
}

func (g *game) begin(period int) {
	stage := entry.Stage{Kind: entry.Period, Number: period}
	length := entry.Millis(0)
	if n := period - len(g.division.Periods); n > 0 {
		stage = entry.Stage{Kind: entry.Overtime, Number: n}
		length = g.division.Overtime.Periods[min(n, len(g.division.Overtime.Periods))-1].Length
	} else {
		length = g.division.Periods[period-1]
	}
	g.post(entry.At{Period: period}, entry.StageBegun{Stage: stage, Length: length})
}

// overtimeOf is one overtime period, ended by the first goal.
func overtimeOf(length entry.Millis, skaters int, repeat bool) rulebook.Overtime {
	return rulebook.Overtime{
		Periods:     []rulebook.OvertimePeriod{{Length: length, Skaters: skaters}},
		SuddenDeath: true, Repeat: repeat,
	}
}
