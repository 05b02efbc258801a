package openplay

import (
	"whistlestop/game/entry"
	"whistlestop/record/audit"
)

// inGoal is the number under which a goalkeeper stands: the data does not name
// them.
const inGoal entry.Jersey = "99"

// Sheet gives the game as the league's record claims it: classes of goals,
// minutes of penalties, goalkeepers in and out, and totals.
func (g Game) Sheet() audit.Sheet {
	s := audit.Sheet{Division: g.Division(), Finished: true, Teams: [2]audit.SheetTeam{{Name: "Home"}, {Name: "Visitors"}}}
	for _, side := range entry.Sides {
		s.Changes = append(s.Changes, audit.SheetChange{Place: audit.Place{Side: side}, Number: inGoal})
	}
	last := 0
	for i, e := range g.Events {
		if e.ShootOut || e.Kind == "so" {
			continue
		}
		last = max(last, e.Period)
		place := audit.Place{Row: i + 1, Side: Side(e.Team), At: entry.At{Period: e.Period, Elapsed: entry.Clock(0, e.Second)}}
		switch e.Kind {
		case "fo", "period_end":
			s.Stoppages = append(s.Stoppages, place.At)
		case "goal":
			goal := audit.SheetGoal{Place: place, Class: e.OfficialClass(), EmptyNet: e.EmptyNet, Nameless: true}
			if e.Shot {
				goal.On = entry.OnPenaltyShot
			}
			s.Goals = append(s.Goals, goal)
		case "penalty":
			if body, ok := e.penalty().(entry.Penalty); ok {
				charged := entry.Clock(e.Minutes, 0)
				s.Calls = append(s.Calls, audit.SheetCall{
					Place: place, Player: body.Player, Bench: body.Bench, ServedBy: body.ServedBy, Call: e.What,
					Parts: body.Parts, Charged: &charged, Endless: true,
				})
			}
		case "gk":
			change := audit.SheetChange{Place: place}
			if e.In {
				change.Number = inGoal
			}
			s.Changes = append(s.Changes, change)
		}
	}
	for period := 1; period <= last; period++ {
		s.Periods = append(s.Periods, audit.SheetPeriod{Period: period})
	}
	for i, team := range []string{"H", "A"} {
		box, known := g.Box[team]
		if !known {
			continue
		}
		for _, t := range []audit.SheetTotal{
			{Total: audit.TotalPowerPlayGoals, Count: box.PowerPlayGoals},
			{Total: audit.TotalChances, Count: box.Chances},
			{Total: audit.TotalMinutes, Count: box.Minutes},
		} {
			t.Side = entry.Sides[i]
			s.Totals = append(s.Totals, t)
		}
	}
	return s
}
