package report_test

import (
	"encoding/json"
	"fmt"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
	"whistlestop/record/report"
)

// tape builds the ledger of an invented game under the NHL's code.
type tape struct {
	t      *testing.T
	ledger []entry.Entry
}

func newTape(t *testing.T) *tape {
	t.Helper()
	code, _ := rulebook.CodeByID("nhl")
	raw, err := json.Marshal(rulebook.Division{
		ID: "test", Name: "Test", Code: code.ID, Skaters: 5, Lengths: code.Lengths,
		Periods:       []entry.Millis{entry.Clock(20, 0), entry.Clock(20, 0), entry.Clock(20, 0)},
		Intermissions: []entry.Millis{entry.Clock(1, 0), entry.Clock(1, 0)},
	})
	if err != nil {
		t.Fatal(err)
	}
	g := &tape{t: t}
	g.post(0, 0, 0, entry.GameOpened{
		Division: raw, Home: entry.Team{Name: "Kelp Bay", Players: []entry.Player{{Number: "9", Name: "Invented"}}},
		Visitors: entry.Team{Name: "Lanternside"},
	})
	return g
}

func (g *tape) post(period, minute, second int, body entry.Body) {
	n := len(g.ledger) + 1
	g.ledger = append(g.ledger, entry.Entry{
		ID: fmt.Sprintf("01JTEST%019d", n), Game: "g", Seq: n, Body: body,
		At: entry.At{Period: period, Elapsed: entry.Clock(minute, second)},
	})
}

func (g *tape) period(n int) {
	g.post(n, 0, 0, entry.StageBegun{Stage: entry.Stage{Kind: entry.Period, Number: n}, Length: entry.Clock(20, 0)})
}

func (g *tape) count() report.Totals {
	state, err := rules.Fold(g.ledger)
	if err != nil {
		g.t.Fatal(err)
	}
	return report.Count(state)
}

func TestCount(t *testing.T) {
	minor := []entry.Part{entry.Minor}
	g := newTape(t)
	g.period(1)
	// A power play of 1:30 ended by a goal.
	g.post(1, 2, 0, entry.Penalty{Side: entry.Visitors, Player: "4", Parts: minor})
	g.post(1, 3, 30, entry.Goal{Side: entry.Home, Scorer: "9", Assists: []entry.Jersey{"8", "7"}})
	// One minor each: four against four, no chance for anybody.
	g.post(1, 5, 0, entry.Penalty{Side: entry.Visitors, Player: "5", Parts: minor})
	g.post(1, 5, 0, entry.Penalty{Side: entry.Home, Player: "6", Parts: minor})
	// A goal while short, and a major with a game misconduct.
	g.post(1, 10, 0, entry.Penalty{Side: entry.Home, Player: "9", Parts: []entry.Part{entry.Major, entry.GameMisconduct}, ServedBy: "10"})
	g.post(1, 11, 0, entry.Goal{Side: entry.Home, Scorer: "8", EmptyNet: true})
	g.period(2)
	// Signalled, and wiped out by the goal: not charged.
	g.post(2, 1, 0, entry.Penalty{Side: entry.Home, Player: "6", Parts: minor, Signalled: true})
	g.post(2, 1, 0, entry.Goal{Side: entry.Visitors, Scorer: "12"})
	g.post(2, 1, 0, entry.Penalty{Side: entry.Visitors, Bench: true, Parts: []entry.Part{entry.BenchMinor}, ServedBy: "4"})
	got := g.count()
	home, visitors := got.Sides[0], got.Sides[1]
	for what, pair := range map[string][2]any{
		"home goals":               {home.Goals, 2},
		"home goals by period":     {fmt.Sprint(home.GoalsByPeriod), "[2 0 0]"},
		"visitors goals by period": {fmt.Sprint(visitors.GoalsByPeriod), "[0 1 0]"},
		"home power-play goals":    {home.PowerPlays.Goals, 1},
		"home short-handed goals":  {home.ShortHanded.Goals, 1},
		"home empty net":           {home.EmptyNetGoals, 1},
		"home chances":             {home.PowerPlays.Chances, 1},
		"visitors chances":         {visitors.PowerPlays.Chances, 1},
		"home time ahead":          {home.PowerPlays.Time, entry.Clock(1, 30)},
		"visitors time ahead":      {visitors.PowerPlays.Time, entry.Clock(5, 0)},
		"home minutes":             {home.PenaltyMinutes, entry.Clock(2+5+10, 0)},
		"visitors minutes":         {visitors.PenaltyMinutes, entry.Clock(2+2+2, 0)},
		"home penalties":           {home.Penalties, 3},
		"plus and minus":           {fmt.Sprint(got.Goals[0].Counts, got.Goals[1].Counts, got.Goals[2].Counts), "false true true"},
	} {
		if pair[0] != pair[1] {
			t.Errorf("%s: got %v, want %v", what, pair[0], pair[1])
		}
	}
	nine := home.Players[2]
	if nine.Number != "8" || nine.Goals != 1 || nine.Assists != 1 || nine.Points != 2 {
		t.Errorf("number 8 has %+v", nine)
	}
	if last := visitors.Players[len(visitors.Players)-1]; last.Number != "" || last.PenaltyMinutes != entry.Clock(2, 0) {
		t.Errorf("the bench has %+v", last)
	}
	again, _ := json.Marshal(g.count())
	if first, _ := json.Marshal(got); string(first) != string(again) {
		t.Error("two counts of one game differ")
	}
}
