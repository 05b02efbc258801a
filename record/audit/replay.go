package audit

import (
	"encoding/json"
	"fmt"
	"slices"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// replay plays a sheet: it makes the ledger that a bench would have had, from
// the goals and calls alone, and folds it. What the sheet claims of classes,
// releases and totals has no part in it.
func replay(s *Sheet, choices []entry.Choice) (rules.State, error) {
	raw, err := json.Marshal(s.Division)
	if err != nil {
		return rules.State{}, err
	}
	r := &replaying{}
	r.post("", entry.At{}, entry.GameOpened{
		Division: raw, Home: team(s.Teams[0]), Visitors: team(s.Teams[1]),
	})
	for _, p := range s.Periods {
		r.post("", entry.At{Period: p.Period}, stageOf(s, p))
		for _, at := range s.Stoppages {
			if at.Period == p.Period {
				r.post("", at, entry.ClockStopped{Elapsed: at.Elapsed})
			}
		}
	}
	for i := range s.Goals {
		if g := &s.Goals[i]; s.plays(g.Place) {
			r.post(goalID(g, i), g.At, entry.Goal{Side: g.Side, Scorer: g.Scorer, On: g.On, EmptyNet: g.EmptyNet, OwnGoal: g.OwnGoal})
		}
	}
	for i := 0; i < len(s.Calls); {
		n := callLines(s.Calls[i:])
		if c := &s.Calls[i]; s.plays(c.Place) {
			r.post(callID(c, i), c.At, penaltyOf(s.Calls[i:i+n]))
		}
		i += n
	}
	for _, choice := range append(slices.Clone(s.Choices), choices...) {
		r.post("", entry.At{}, choice)
	}
	if s.Finished {
		r.post("", entry.At{}, entry.StageBegun{Stage: entry.Stage{Kind: entry.Over}})
	}
	return rules.Fold(r.ledger)
}

// replaying is a ledger under way.
type replaying struct{ ledger []entry.Entry }

func (r *replaying) post(id string, at entry.At, body entry.Body) {
	n := len(r.ledger) + 1
	if id == "" {
		id = fmt.Sprintf("01SHEET%019d", n)
	}
	r.ledger = append(r.ledger, entry.Entry{ID: id, Game: "sheet", Seq: n, At: at, Seat: entry.Program, Body: body})
}

// team turns a roster into one that the fold takes: numbers that stand twice
// are audited, not played.
func team(t SheetTeam) entry.Team {
	out := entry.Team{Name: t.Name}
	for _, m := range t.Players {
		out.Players = append(out.Players, entry.Player{Number: m.Number, Name: m.Name, Goalkeeper: m.Goalkeeper})
	}
	return out
}

func stageOf(s *Sheet, p SheetPeriod) entry.StageBegun {
	stage := entry.Stage{Kind: entry.Period, Number: p.Period}
	if n := p.Period - len(s.Division.Periods); n > 0 {
		stage = entry.Stage{Kind: entry.Overtime, Number: n}
	}
	return entry.StageBegun{Stage: stage, Length: p.Length}
}

// plays reports whether a line has a moment that can be played.
func (s *Sheet) plays(p Place) bool {
	return !p.NoTime && p.Side.Valid() && p.At.Elapsed >= 0 &&
		slices.ContainsFunc(s.Periods, func(o SheetPeriod) bool { return o.Period == p.At.Period })
}

func goalID(g *SheetGoal, i int) string {
	if g.Entry != "" {
		return g.Entry
	}
	return fmt.Sprintf("01GOALS%019d", i)
}

func callID(c *SheetCall, i int) string {
	if c.Entry != "" {
		return c.Entry
	}
	return fmt.Sprintf("01CALLS%019d", i)
}

// callLines returns how many lines from the first on are parts of one call: those
// of one entry.
func callLines(calls []SheetCall) int {
	n := 1
	for n < len(calls) && calls[0].Entry != "" && calls[n].Entry == calls[0].Entry {
		n++
	}
	return n
}

// penaltyOf makes one call of its lines.
func penaltyOf(lines []SheetCall) entry.Penalty {
	c := &lines[0]
	p := entry.Penalty{Side: c.Side, Player: c.Player, Bench: c.Bench, Call: c.Call, ServedBy: c.ServedBy, Signalled: c.Signalled}
	given := false
	for _, l := range lines {
		for _, part := range l.Parts {
			p.Parts = append(p.Parts, part)
			p.Lengths = append(p.Lengths, l.Given)
			given = given || l.Given > 0
			if p.ServedBy == "" {
				p.ServedBy = l.ServedBy
			}
		}
	}
	if !given {
		p.Lengths = nil
	}
	if p.ServedBy == p.Player {
		p.ServedBy = ""
	}
	return p
}
