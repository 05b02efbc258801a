package openplay

import (
	"encoding/json"
	"fmt"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
)

// Side returns the side of a team: the feeds call the visitors A, for away.
func Side(team string) entry.Side {
	if team == "A" {
		return entry.Visitors
	}
	return entry.Home
}

// jersey turns an id such as "H12" into a sweater; ids hold inside one game.
func jersey(id string) entry.Jersey {
	if len(id) < 2 || id[0] != 'H' && id[0] != 'A' {
		return ""
	}
	return entry.Jersey(id[1:])
}

// code returns the code that a feed follows. The North American leagues play the
// NHL's box, each with what its own division says besides; a feed I would be of
// international games.
func (g Game) code() string {
	if g.Feed == "I" {
		return "iihf"
	}
	return "nhl"
}

// Division returns the settings under which a game was played.
func (g Game) Division() rulebook.Division {
	code, _ := rulebook.CodeByID(g.code())
	overtime := entry.Clock(0, g.Rules.OvertimeLength)
	if overtime == 0 {
		overtime = entry.Clock(5, 0)
	}
	return rulebook.Division{
		ID: "open-data", Name: "Open data", Code: code.ID, Skaters: 5, Lengths: code.Lengths,
		Periods:       []entry.Millis{entry.Clock(20, 0), entry.Clock(20, 0), entry.Clock(20, 0)},
		Intermissions: []entry.Millis{entry.Clock(15, 0), entry.Clock(15, 0)},
		Overtime: rulebook.Overtime{
			Periods:     []rulebook.OvertimePeriod{{Length: overtime, Skaters: max(3, g.Rules.Overtime)}},
			SuddenDeath: true, Repeat: true,
		},
		ShortGoalFrees: g.Rules.ShortGoalFrees,
	}
}

// Ledger turns a game into a ledger: its stoppages, penalties and goals, and
// nothing of what followed from them.
func (g Game) Ledger() ([]entry.Entry, error) {
	division := g.Division()
	raw, err := json.Marshal(division)
	if err != nil {
		return nil, err
	}
	var ledger []entry.Entry
	post := func(at entry.At, body entry.Body) {
		n := len(ledger) + 1
		ledger = append(ledger, entry.Entry{
			ID: fmt.Sprintf("01JPLAY%019d", n), Game: g.ID, Seq: n, At: at, Seat: entry.Program, Body: body,
		})
	}
	post(entry.At{}, entry.GameOpened{
		Number: g.ID, Division: raw, Home: entry.Team{Name: "Home"}, Visitors: entry.Team{Name: "Visitors"},
	})
	begun := 0
	for _, e := range g.Events {
		for !e.ShootOut && e.Kind != "so" && begun < e.Period {
			begun++
			post(entry.At{Period: begun}, begin(division, begun))
		}
		at := entry.At{Period: e.Period, Elapsed: entry.Millis(e.Second) * 1000}
		if body := e.body(at); body != nil {
			post(at, body)
		}
	}
	return ledger, nil
}

func begin(d rulebook.Division, period int) entry.StageBegun {
	if n := period - len(d.Periods); n > 0 {
		return entry.StageBegun{Stage: entry.Stage{Kind: entry.Overtime, Number: n}, Length: d.Overtime.Periods[0].Length}
	}
	return entry.StageBegun{Stage: entry.Stage{Kind: entry.Period, Number: period}, Length: d.Periods[period-1]}
}

// body returns what an event says to the fold, or nothing.
func (e Event) body(at entry.At) entry.Body {
	switch {
	case e.ShootOut:
		return nil
	case e.Kind == "fo" || e.Kind == "period_end":
		return entry.ClockStopped{Elapsed: at.Elapsed}
	case e.Kind == "goal":
		goal := entry.Goal{Side: Side(e.Team), EmptyNet: e.EmptyNet}
		if e.Shot {
			goal.On = entry.OnPenaltyShot
		}
		return goal
	case e.Kind == "penalty":
		return e.penalty()
	default:
		return nil
	}
}

// penalty turns a logged penalty into a call. The lines for one player at one
// second become one stay in the box by themselves.
func (e Event) penalty() entry.Body {
	p := entry.Penalty{Side: Side(e.Team), Player: jersey(e.Who), ServedBy: jersey(e.Served), Call: "other"}
	p.Bench = p.Player == ""
	if p.ServedBy == p.Player {
		p.ServedBy = ""
	}
	minor := entry.Minor
	if p.Bench {
		minor = entry.BenchMinor
	}
	switch e.Severity {
	case "minor", "bench_minor":
		p.Parts = []entry.Part{minor}
		if e.Minutes == 4 {
			p.Parts = []entry.Part{minor, minor}
		}
	case "double_minor":
		p.Parts = []entry.Part{minor, minor}
	case "major", "match", "misconduct", "game_misconduct", "penalty_shot":
		p.Parts = []entry.Part{entry.Part(e.Severity)}
	default:
		return nil
	}
	return p
}

var classes = map[string]rules.Class{
	"EV": rules.EvenStrength, "PP": rules.PowerPlay, "SH": rules.ShortHanded,
}

// OfficialClass returns the class that the league gave a goal.
func (e Event) OfficialClass() rules.Class { return classes[e.Class] }

// Skaters reads the situation of a goal, home first. An extra attacker for the
// goalkeeper is not counted.
func (e Event) Skaters() (n [2]int, ok bool) {
	if len(e.Code) != 4 {
		return n, false
	}
	visitors, home := int(e.Code[1]-'0'), int(e.Code[2]-'0')
	if e.Code[0] == '0' {
		visitors--
	}
	if e.Code[3] == '0' {
		home--
	}
	return [2]int{home, visitors}, true
}
