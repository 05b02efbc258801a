package audit

import (
	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/record/report"
)

// SheetOf reads a report of ours as a sheet: everything in it is a claim, so
// that a report that was changed on its way is found out.
func SheetOf(d report.Document) Sheet {
	r := &reading{d: &d, s: Sheet{
		Division: d.Division, Times: d.Times, Exact: true, Finished: d.Finished,
		Stoppages: d.Stoppages, Choices: d.Choices,
	}}
	for _, p := range d.Periods {
		r.s.Periods = append(r.s.Periods, SheetPeriod{Period: p.Period, Length: p.Length})
		r.s.Played += p.Played
	}
	r.teams()
	r.goals()
	r.calls()
	r.nets()
	r.totals()
	return r.s
}

// reading is a report that is being read.
type reading struct {
	d *report.Document
	s Sheet
}

// at returns the moment of a stamp, exact where the exact moment is the one that
// was written.
func (r *reading) at(s report.Stamp) entry.At {
	at := entry.At{Period: s.Period, Elapsed: s.Elapsed}
	for _, p := range r.d.Periods {
		if p.Period != s.Period {
			continue
		}
		left := (p.Length - (s.Abs - p.Abs) + 999) / 1000 * 1000
		if left == s.Left && p.Length-left == s.Elapsed {
			at.Elapsed = s.Abs - p.Abs
		}
	}
	return at
}

func (r *reading) atOf(s *report.Stamp) *entry.At {
	if s == nil {
		return nil
	}
	at := r.at(*s)
	return &at
}

func (r *reading) place(id string, side entry.Side, s report.Stamp) Place {
	return Place{Entry: id, Side: side, At: r.at(s)}
}

func (r *reading) teams() {
	for i, t := range r.d.Teams {
		r.s.Teams[i].Name = t.Name
		for _, p := range t.Players {
			m := SheetMember{
				Number: p.Number, Name: p.Name, Goalkeeper: p.Goalkeeper || p.Position == entry.Keeps,
				Captain: p.Captain, Alternate: p.Alternate,
			}
			if !p.Status.Plays() {
				m.Away = string(p.Status)
			}
			r.s.Teams[i].Players = append(r.s.Teams[i].Players, m)
		}
	}
}

func (r *reading) goals() {
	for _, g := range r.d.Goals {
		score := g.Score
		r.s.Goals = append(r.s.Goals, SheetGoal{
			Place: r.place(g.Entry, g.Side, g.At), Scorer: g.Scorer, Assists: g.Assists, Class: g.Class, On: g.On,
			EmptyNet: g.EmptyNet, OwnGoal: g.OwnGoal, Unassisted: g.Unassisted, Goalkeeper: g.Goalkeeper,
			OnIce: g.OnIce, Score: &score,
		})
	}
}

func (r *reading) calls() {
	for _, p := range r.d.Penalties {
		charged := p.Charged
		c := SheetCall{
			Place: r.place(p.Entry, p.Side, p.Off), First: p.Part, Player: p.Player, Bench: p.Bench,
			ServedBy: p.ServedBy, Call: p.Call, Parts: []entry.Part{p.Kind}, Charged: &charged,
			Start: r.atOf(p.Start), End: r.atOf(p.End), On: r.atOf(p.On),
			Signalled: p.Signalled, Wiped: p.Wiped,
		}
		if p.Given {
			c.Given = p.Charged
		}
		r.s.Calls = append(r.s.Calls, c)
	}
}

// nets reads what concerns the goalkeepers.
func (r *reading) nets() {
	for _, s := range r.d.Shots {
		r.s.Shots = append(r.s.Shots, SheetShots{Period: s.Period, Side: s.Side, Goalkeeper: s.Goalkeeper, Count: s.Shots})
	}
	for _, c := range r.d.Changes {
		r.s.Changes = append(r.s.Changes, SheetChange{Place: r.place(c.Entry, c.Side, c.At), Number: c.Number})
	}
	for _, k := range r.d.Goalkeepers {
		time, against := k.Time, k.GoalsAgainst
		r.s.Goalkeepers = append(r.s.Goalkeepers, SheetGoalkeeper{
			Side: k.Side, Number: k.Number, Time: &time, Shots: k.Shots, GoalsAgainst: &against, Saves: k.Saves,
		})
	}
	for _, t := range r.d.TimeOuts {
		r.s.TimeOuts = append(r.s.TimeOuts, SheetTimeOut{r.place(t.Entry, t.Side, t.At)})
	}
	for _, a := range r.d.Attempts {
		r.s.Attempts = append(r.s.Attempts, SheetAttempt{
			Place: r.place(a.Entry, a.Side, a.At), Player: a.Player, Scored: a.Scored, ShootOut: a.ShootOut,
		})
	}
	if so := r.d.ShootOut; so != nil {
		r.s.ShootOut = so.Winner
	}
}

func (r *reading) totals() {
	add := func(t Total, side entry.Side, period, count int) {
		r.s.Totals = append(r.s.Totals, SheetTotal{Total: t, Side: side, Period: period, Count: count})
	}
	for i, side := range entry.Sides {
		t := &r.d.Totals.Sides[i]
		add(TotalScore, side, 0, r.d.Score.Final[i])
		add(TotalGoals, side, 0, t.Goals)
		for _, p := range r.d.Periods {
			add(TotalGoals, side, p.Period, p.Goals[i])
			if p.Shots != nil {
				add(TotalShots, side, p.Period, p.Shots[i])
			}
		}
		if t.Shots != nil {
			add(TotalShots, side, 0, *t.Shots)
		}
		add(TotalPenalties, side, 0, t.Penalties)
		add(TotalMinutes, side, 0, int(t.PenaltyMinutes/entry.Clock(1, 0)))
		add(TotalPowerPlayGoals, side, 0, t.PowerPlays.Goals)
		add(TotalChances, side, 0, t.PowerPlays.Chances)
		for _, p := range t.Players {
			r.s.Players = append(r.s.Players, SheetPlayer{
				Side: side, Number: p.Number, Goals: p.Goals, Assists: p.Assists, Minutes: p.PenaltyMinutes,
			})
		}
	}
	if r.s.Times == rulebook.TimesUnsaid {
		r.s.Times = rulebook.TimesElapsed
	}
}

// Ledger makes the report of a ledger and audits it.
func Ledger(ledger []entry.Entry, o report.Options) (report.Document, []Finding, error) {
	d, err := report.Build(ledger, o)
	if err != nil {
		return report.Document{}, nil, err
	}
	findings, err := Check(SheetOf(d))
	return d, findings, err
}
