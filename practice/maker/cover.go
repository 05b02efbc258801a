package maker

import (
	"slices"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/practice/plot"
	"whistlestop/practice/script"
)

// covered lists the skills that a script asks for, by what the fold says of its
// ledger and by what is said at its bench; who made the script is not asked.
func covered(s script.Script, state rules.State) []plot.Skill {
	c := &coverage{script: s, state: state, has: map[plot.Skill]bool{}}
	c.entries()
	c.goals()
	c.calls()
	for _, cue := range s.Cues {
		if cue.Repeat != nil || cue.By == script.ByParent || cue.By == script.ByCoach {
			c.has[plot.Noise] = true
		}
	}
	out := []plot.Skill{}
	for _, skill := range plot.Skills {
		if c.has[skill] {
			out = append(out, skill)
		}
	}
	return out
}

type coverage struct {
	script script.Script
	state  rules.State
	has    map[plot.Skill]bool
}

// entries looks at what the learner has to enter besides goals and calls.
func (c *coverage) entries() {
	kinds := map[string]entry.Kind{}
	for i, a := range c.script.Answers {
		kinds[a.Entry.ID] = a.Entry.Kind()
		if i < c.script.Given {
			continue
		}
		switch body := a.Entry.Body.(type) {
		case entry.ClockStarted:
			c.has[plot.StartStop] = true
		case entry.BoardRead, entry.Ticked:
			c.has[plot.FollowBoard] = true
		case entry.StageBegun:
			switch body.Stage.Kind {
			case entry.Intermission, entry.Over:
				c.has[plot.PeriodEnd] = true
			case entry.Overtime:
				c.has[plot.Overtime] = true
			case entry.Setup, entry.WarmUp, entry.Period, entry.ShootOut:
			}
		case entry.Goal:
			c.has[plot.Score] = true
		case entry.ClockSet:
			c.has[plot.PutBack] = true
		case entry.TimeOut:
			c.has[plot.TimeOutCall] = true
		case entry.RunningTime:
			c.has[plot.RunningTime] = true
		case entry.Struck:
			if kinds[a.Entry.Of] == entry.KindGoal {
				c.has[plot.TakenBack] = true
			}
		default: // the other entries say nothing here
		}
	}
}

// seen reports whether something of the game happens before the learner's eyes.
func (c *coverage) seen(at rules.Moment) bool {
	end := c.script.Moments[len(c.script.Moments)-1].At
	moment := entry.At{Period: at.Period, Elapsed: at.Elapsed}
	begin := c.script.Moments[0].At
	return (moment.Compare(begin) > 0 || begin.Elapsed == 0 && begin.Period <= 1) && moment.Compare(end) <= 0
}

func (c *coverage) goals() {
	for _, g := range c.state.Goals {
		if !c.seen(g.Moment) {
			continue
		}
		i := g.Side.Index()
		against := g.Skaters[1-i]
		ends := slices.ContainsFunc(c.state.Terms, func(t rules.Term) bool {
			return t.Ended == rules.ByGoal && t.End.Abs == g.Moment.Abs && t.Side != g.Side
		})
		full := c.full(g.Moment.Period)
		switch {
		case g.Class == rules.PowerPlay && ends:
			c.has[plot.PowerPlayGoal] = true
			if against == full-2 && g.Skaters[i] == full-1 {
				c.has[plot.TwoOnOne] = true
			}
			if against == full-2 && g.Skaters[i] == full {
				c.has[plot.FiveOnThree] = true
			}
		case g.Class == rules.EvenStrength && c.short(g.Side.Other(), g.Moment.Abs):
			c.has[plot.EvenGoal] = true
		}
	}
}

func (c *coverage) full(period int) int {
	for _, span := range c.state.Periods {
		if span.Period == period {
			return span.Skaters
		}
	}
	return c.state.Division.Skaters
}

// short reports whether a side serves something a skater short when a goal
// falls.
func (c *coverage) short(side entry.Side, abs entry.Millis) bool {
	return slices.ContainsFunc(c.state.Terms, func(t rules.Term) bool {
		return t.Side == side && t.Costs && t.Start.Abs < abs && t.End.Abs > abs && t.Ended != rules.Wiped
	})
}

func (c *coverage) calls() {
	for _, call := range c.state.Calls {
		if !c.seen(call.Moment) {
			continue
		}
		minors := 0
		for _, part := range call.Parts {
			switch part {
			case entry.Minor, entry.BenchMinor:
				minors++
			case entry.Major, entry.Match:
				c.has[plot.MajorCall] = true
			case entry.Misconduct:
				c.has[plot.Misconduct] = true
			case entry.GameMisconduct, entry.PenaltyShot:
			}
		}
		if minors > 1 {
			c.has[plot.DoubleMinor] = true
		}
		goal := slices.ContainsFunc(c.state.Goals, func(g rules.Goal) bool { return g.Moment.Abs == call.Moment.Abs && g.Side != call.Side })
		if goal && c.signalled(call.Entry) {
			c.has[plot.SignalledGoal] = true
		}
	}
	for _, t := range c.state.Terms {
		if !c.seen(t.End) && !c.seen(t.Start) {
			continue
		}
		c.has[plot.Coincidental] = c.has[plot.Coincidental] || t.Matched && c.seen(t.Start)
		c.has[plot.DelayedThird] = c.has[plot.DelayedThird] || t.Waits
		if t.Part.IsMinor() && t.Costs && t.Ended == rules.ByTime && t.Out != nil && c.seen(*t.Out) {
			c.has[plot.MinorCall] = true
		}
		if t.Costs && t.Start.Period < t.End.Period && t.End.Elapsed > 0 && c.seen(t.End) {
			c.has[plot.CarryOver] = true
		}
	}
}

func (c *coverage) signalled(id string) bool {
	return slices.ContainsFunc(c.script.Answers, func(a script.Answer) bool {
		p, is := a.Entry.Body.(entry.Penalty)
		return is && a.Entry.ID == id && p.Signalled
	})
}
