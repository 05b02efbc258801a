package audit_test

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
	"whistlestop/internal/proof/whole"
	"whistlestop/record/audit"
	"whistlestop/record/report"
)

// chance is a bench at a random game: it posts what somebody draws, leaves out
// what is refused or warned about, and answers what is asked.
type chance struct {
	t        *rapid.T
	b        *whole.Bench
	state    rules.State
	division rulebook.Division
	score    [2]int
	over     bool
}

var (
	homeNumbers     = []entry.Jersey{"2", "3", "4", "5", "6", "7", "8", "9", "10", "11", "12"}
	visitorsNumbers = []entry.Jersey{"20", "21", "22", "23", "24", "25", "26", "27", "28", "29"}
	chanceParts     = [][]entry.Part{
		{entry.Minor}, {entry.Minor}, {entry.Minor}, {entry.Minor}, {entry.Minor, entry.Minor}, {entry.Major},
		{entry.Minor, entry.Misconduct}, {entry.Misconduct}, {entry.Major, entry.GameMisconduct}, {entry.Match},
		{entry.BenchMinor}, {entry.PenaltyShot},
	}
)

// try posts a body unless the bench speaks against it, or owes more for it than
// before.
func (c *chance) try(body entry.Body) bool {
	at, wall := c.b.At, c.b.Wall
	e := entry.Entry{
		ID: ulid(len(c.b.Ledger) + 1), Game: c.b.Ledger[0].Game, Seq: len(c.b.Ledger) + 1, At: at, Wall: wall, Seat: entry.Solo, Body: body,
	}
	preview := rules.Consider(c.b.Ledger, []entry.Entry{e}, wall)
	if len(preview.Refused)+len(preview.Warnings)+len(preview.State.Owed) > 0 {
		return false
	}
	c.b.Ledger, c.state = append(c.b.Ledger, e), preview.State
	for _, q := range c.state.Asked { // the captain answers at once
		if q.Now && !q.Answered && len(q.Players) > 0 {
			pick := rapid.SampledFrom(q.Players).Draw(c.t, "captain")
			if pick != "" {
				c.try(entry.Choice{Question: q.ID, Picks: []entry.Jersey{pick}})
			}
		}
	}
	return true
}

func ulid(n int) string {
	const digits = "0123456789"
	id := []byte("01CHANCE000000000000000000")
	for i := len(id) - 1; n > 0; i-- {
		id[i], n = digits[n%10], n/10
	}
	return string(id)
}

func numbers(side entry.Side) []entry.Jersey {
	if side == entry.Home {
		return homeNumbers
	}
	return visitorsNumbers
}

// free are the players of a side who are on the bench or the ice: a scorer who
// names somebody else was mistaken.
func (c *chance) free(side entry.Side) []entry.Jersey {
	at := c.abs()
	return slices.DeleteFunc(slices.Clone(numbers(side)), func(j entry.Jersey) bool {
		for _, call := range c.state.Calls {
			if call.Side == side && call.Player == j && slices.ContainsFunc(call.Parts, entry.Part.Ejects) {
				return true
			}
		}
		for _, t := range c.state.Terms {
			if t.Side == side && (t.Player == j || t.Sits == j) && (t.Out == nil && t.Ended != rules.Wiped && t.Ended != rules.NotServed || t.Out != nil && t.Out.Abs >= at) {
				return true
			}
		}
		return false
	})
}

func (c *chance) abs() entry.Millis {
	for _, p := range c.state.Periods {
		if p.Period == c.b.At.Period {
			return p.Abs + c.b.At.Elapsed
		}
	}
	return 0
}

func (c *chance) draw(side entry.Side, name string) entry.Jersey {
	free := c.free(side)
	if len(free) == 0 {
		return ""
	}
	return rapid.SampledFrom(free).Draw(c.t, name)
}

// whistle plays one stoppage.
func (c *chance) whistle(period int) {
	c.try(entry.ClockStopped{Elapsed: c.b.At.Elapsed})
	if rapid.IntRange(0, 2).Draw(c.t, "goal") == 0 {
		c.goal(period)
	}
	if c.over {
		return
	}
	for range rapid.SampledFrom([]int{0, 0, 1, 1, 1, 2, 2, 3}).Draw(c.t, "calls") {
		c.call()
	}
	switch rapid.IntRange(0, 12).Draw(c.t, "more") {
	case 0:
		c.try(entry.TimeOut{Side: rapid.SampledFrom(entry.Sides[:]).Draw(c.t, "asks"), Length: entry.Clock(0, 30)})
	case 1:
		side := rapid.SampledFrom(entry.Sides[:]).Draw(c.t, "changes")
		keeper := map[entry.Side]entry.Jersey{entry.Home: "31", entry.Visitors: "33"}[side]
		c.try(entry.Goalkeeper{Side: side, Number: keeper})
	case 2:
		c.try(entry.Shots{Side: rapid.SampledFrom(entry.Sides[:]).Draw(c.t, "shoots"), Count: rapid.IntRange(1, 9).Draw(c.t, "shots")})
	}
}

func (c *chance) goal(period int) {
	side := rapid.SampledFrom(entry.Sides[:]).Draw(c.t, "scorers")
	g := entry.Goal{Side: side, Scorer: c.draw(side, "scorer"), Unassisted: true}
	if a := c.draw(side, "assist"); a != "" && a != g.Scorer {
		g.Unassisted, g.Assists = false, []entry.Jersey{a}
	}
	if c.state.Book.Shots != nil { // every goal is a shot
		c.try(entry.Shots{Side: side, Count: 1})
	}
	if !c.try(g) {
		return
	}
	c.score[side.Index()]++
	c.over = period > 3
}

func (c *chance) call() {
	side := rapid.SampledFrom(entry.Sides[:]).Draw(c.t, "penalised")
	p := entry.Penalty{Side: side, Call: "tripping", Parts: rapid.SampledFrom(chanceParts).Draw(c.t, "parts")}
	switch {
	case p.Parts[0] == entry.BenchMinor:
		p.Bench, p.ServedBy = true, c.draw(side, "serves")
	default:
		if p.Player = c.draw(side, "player"); p.Player == "" {
			return
		}
		if s := c.draw(side, "serves"); s != p.Player && len(p.Parts) > 1 {
			p.ServedBy = s
		}
	}
	c.try(p)
}

// TestWhatTheBenchAcceptedAddsUp: a game that the bench accepted without a
// warning, and for which nothing is owed, has no finding; also when the report
// has been through JSON.
func TestWhatTheBenchAcceptedAddsUp(t *testing.T) {
	games, goals, calls := 0, 0, 0
	rapid.Check(t, func(rt *rapid.T) {
		id := rapid.SampledFrom([]string{"harbour-open", "harbour-u16", "harbour-u14", "harbour-u10"}).Draw(rt, "division")
		home, visitors := whole.Roster("Kelp Bay", 2, append([]entry.Jersey{"1", "31"}, homeNumbers...)...), whole.Roster("Lanternside", 2, append([]entry.Jersey{"30", "33"}, visitorsNumbers...)...)
		c := &chance{t: rt, b: whole.Open(t, id, home, visitors)}
		c.b.Post(entry.Goalkeeper{Side: entry.Home, Number: "1"})
		c.b.Post(entry.Goalkeeper{Side: entry.Visitors, Number: "30"})
		c.state, _ = rules.Fold(c.b.Ledger)
		c.division = c.state.Division
		for period := 1; period <= 4 && !c.over; period++ {
			if period == 4 && (c.score[0] != c.score[1] || len(c.division.Overtime.Periods) == 0) {
				break
			}
			stage, length := entry.Stage{Kind: entry.Period, Number: period}, audit.PeriodLength(c.division, period)
			if period == 4 {
				stage = entry.Stage{Kind: entry.Overtime, Number: 1}
			}
			c.b.At = entry.At{Period: period}
			if !c.try(entry.StageBegun{Stage: stage, Length: length}) {
				break // something would be owed if play went on
			}
			times := rapid.SliceOfN(rapid.IntRange(1, int(length/100)-1), 0, 7).Draw(rt, "whistles") // tenths of a second
			slices.Sort(times)
			for _, tenths := range slices.Compact(times) {
				c.try(entry.ClockStarted{Elapsed: c.b.At.Elapsed})
				c.b.Wall += entry.Millis(tenths)*100 - c.b.At.Elapsed
				c.b.At.Elapsed = entry.Millis(tenths) * 100
				c.whistle(period)
				if c.over {
					break
				}
			}
			if !c.over {
				c.try(entry.ClockStarted{Elapsed: c.b.At.Elapsed})
				c.b.At.Elapsed = length
				c.try(entry.ClockStopped{Elapsed: length})
			}
		}
		c.try(entry.StageBegun{Stage: entry.Stage{Kind: entry.Over}})
		d, findings, err := audit.Ledger(c.b.Ledger, report.Options{})
		if err != nil {
			rt.Fatal(err)
		}
		if len(findings) > 0 {
			rt.Fatalf("%d findings, the first: %s", len(findings), words(findings)[0])
		}
		games, goals, calls = games+1, goals+len(d.Goals), calls+len(d.Penalties)
	})
	t.Logf("games: %d, goals: %d, penalties: %d", games, goals, calls)
	if !t.Failed() && (goals < games || calls < games) {
		t.Error("the games have too little in them to show anything")
	}
}
