package maker

import (
	"slices"

	"whistlestop/game/card"
	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/game/rules"
	"whistlestop/practice/plot"
	"whistlestop/practice/script"
)

// through reports whether the clock runs through stoppages.
func (d *director) through() bool {
	rule := d.plot.Division.Clock
	return d.state.Bench.RunningTime ||
		rule.Running && (len(rule.RunningPeriods) == 0 || slices.Contains(rule.RunningPeriods, d.at.Period))
}

// play drops the puck where the clock stands, and plays on to a whistle.
func (d *director) play(w plot.Whistle) error {
	if !d.going {
		d.lineUp()
		d.going = true
		d.started, d.from = d.real, d.at.Elapsed
		d.cue(script.Cue{Kind: script.CueDrop})
		if d.plot.Clock == entry.Lead {
			d.post(entry.ClockSeat, d.at, entry.ClockStarted{Elapsed: d.at.Elapsed}, "")
		}
	} else { // the clock never stopped
		d.lineUp()
		d.cue(script.Cue{Kind: script.CueDrop})
		if d.real-d.started+d.from > w.At.Elapsed && w.Why != plot.ForEndOf {
			return message.New("script.running")
		}
	}
	whistle := d.started + w.At.Elapsed - d.from
	if slices.ContainsFunc(w.Happen, func(h plot.Happening) bool { return h.What == plot.APenalty && h.Penalty.Signalled }) {
		arm := max(d.real+500, whistle-entry.Millis(d.luck.Between(3, 8))*1000)
		d.at.Elapsed += arm - d.real
		d.real = arm
		side := w.Happen[slices.IndexFunc(w.Happen, func(h plot.Happening) bool { return h.What == plot.APenalty && h.Penalty.Signalled })].Penalty.Side
		d.cue(script.Cue{Kind: script.CueArm, Signal: "arm_up", Side: side})
	}
	d.real = max(d.real, whistle)
	d.at = w.At
	d.runs = append(d.runs, run{abs: d.abs + d.from, real: d.started, length: w.At.Elapsed - d.from})
	return nil
}

// lineUp lets the players line up, after a while that differs.
func (d *director) lineUp() {
	d.real += entry.Millis(d.luck.Between(3, 7)) * 1000
	d.cue(script.Cue{Kind: script.CueLineUp, Wait: d.level.Patience})
	d.real += entry.Millis(d.luck.Between(3, 5)) * 1000
}

// whistle plays one stoppage.
func (d *director) whistle(w plot.Whistle) error {
	if err := d.play(w); err != nil {
		return err
	}
	ran := w.Why == plot.ForEndOf
	through := d.through() && !ran
	d.going = through
	if ran {
		d.cue(script.Cue{Kind: script.CueRunsOut})
	} else {
		d.cue(script.Cue{Kind: script.CueWhistle, Why: w.Why})
	}
	d.moment()
	switch {
	case through:
	case d.plot.Clock == entry.Follow:
		d.post(entry.ClockSeat, d.at, entry.BoardRead{Elapsed: w.At.Elapsed}, "")
	case ran:
		d.post(entry.Program, d.at, entry.ClockStopped{Elapsed: w.At.Elapsed}, "")
	default:
		d.post(entry.ClockSeat, d.at, entry.ClockStopped{Elapsed: w.At.Elapsed}, "")
	}
	happen, err := d.named(w)
	if err != nil {
		return err
	}
	d.disturb(w)
	goal := ""
	var picks [][]entry.Jersey
	for _, h := range happen {
		switch h.What {
		case plot.AGoal:
			goal = d.goal(*h.Goal)
		case plot.APenalty:
			d.penalty(*h.Penalty, h.Mumbled)
		case plot.ANoGoal:
			d.noGoal(goal)
		case plot.AClockBack:
			d.clockBack(h.To)
		case plot.ATimeOut:
			d.timeOut(h.Side)
		case plot.ARunningTime:
			d.runningTime(h.On)
		case plot.AChoice:
			picks = append(picks, h.Picks)
		}
	}
	if len(happen) > 0 || d.plot.Clock == entry.Follow || d.plot.Box && script.Occupied(d.state, d.looked) {
		d.looked = d.abs + d.at.Elapsed
		if err := d.settle(picks); err != nil {
			return err
		}
	}
	d.inTheWay = nil // nothing was said at this stoppage
	d.takeOver(w.At)
	return nil
}

// named names who sits in the box for somebody who cannot, where the plot does
// not say it.
func (d *director) named(w plot.Whistle) ([]plot.Happening, error) {
	happen := slices.Clone(w.Happen)
	type sweater struct {
		side   entry.Side
		number entry.Jersey
	}
	calls := map[sweater]int{}
	for _, h := range happen {
		if h.What == plot.APenalty {
			calls[sweater{h.Penalty.Side, h.Penalty.Player}]++
		}
	}
	unsure := func(h plot.Happening) bool {
		return h.What == plot.APenalty && h.Penalty.ServedBy == "" &&
			(h.Penalty.Bench || calls[sweater{h.Penalty.Side, h.Penalty.Player}] > 1 || len(h.Penalty.Parts) > 1 || h.Penalty.Parts[0].Ejects() || d.keeps(h.Penalty.Side, h.Penalty.Player) ||
				d.sits(h.Penalty.Side, h.Penalty.Player))
	}
	if !slices.ContainsFunc(happen, unsure) {
		return happen, nil
	}
	trial := *d
	trial.ledger, trial.cues, trial.grown = slices.Clone(d.ledger), slices.Clone(d.cues), d.grown.Copy()
	ids := map[string]int{}
	for i, h := range happen {
		switch h.What {
		case plot.AGoal:
			trial.post(entry.BookSeat, d.at, *h.Goal, "")
		case plot.APenalty:
			ids[trial.post(entry.BookSeat, d.at, *h.Penalty, "")] = i
		case plot.ANoGoal, plot.AClockBack, plot.ATimeOut, plot.ARunningTime, plot.AChoice:
		}
	}
	if err := trial.fold(); err != nil {
		return nil, err
	}
	for _, item := range trial.state.Hold {
		i, known := ids[item.Entry]
		if !known || !script.HasPrefix(item.Key, "serves/") {
			continue
		}
		p := *happen[i].Penalty
		p.ServedBy = d.teammate(p.Side, p.Player, happen)
		happen[i].Penalty = &p
	}
	return happen, nil
}

func (d *director) team(side entry.Side) entry.Team {
	if side == entry.Visitors {
		return d.plot.Visitors
	}
	return d.plot.Home
}

func (d *director) keeps(side entry.Side, j entry.Jersey) bool {
	return slices.ContainsFunc(d.team(side).Players, func(p entry.Player) bool { return p.Number == j && p.Goalkeeper })
}

// sits reports whether a player has something to serve already.
func (d *director) sits(side entry.Side, j entry.Jersey) bool {
	return slices.ContainsFunc(d.state.Terms, func(t rules.Term) bool {
		return t.Side == side && (t.Player == j || t.Sits == j) && t.End.Abs > d.abs+d.at.Elapsed
	})
}

// teammate names somebody who is free to sit for a player: a skater of the
// roster who was not called, by the order of the roster.
func (d *director) teammate(side entry.Side, j entry.Jersey, happen []plot.Happening) entry.Jersey {
	for _, p := range d.team(side).Players {
		taken := p.Number == j || p.Goalkeeper || d.sits(side, p.Number) || slices.ContainsFunc(happen, func(h plot.Happening) bool {
			return h.What == plot.APenalty && h.Penalty.Side == side && (h.Penalty.Player == p.Number || h.Penalty.ServedBy == p.Number)
		})
		if !taken {
			return p.Number
		}
	}
	return ""
}

// settle does what the rules ask for before the next drop: captains answer,
// players sit down, running time is ordered.
func (d *director) settle(picks [][]entry.Jersey) error {
	for range 12 {
		if err := d.fold(); err != nil {
			return err
		}
		before := len(d.ledger)
		for i := range d.state.Asked {
			if q := d.state.Asked[i]; q.Open {
				d.captain(q, &picks)
			}
		}
		if len(d.ledger) == before {
			for _, item := range d.state.Hold {
				if err := d.settleItem(item); err != nil {
					return err
				}
			}
		}
		if len(d.ledger) == before && d.plot.Clock == entry.Follow {
			if err := d.tick(); err != nil {
				return err
			}
		}
		if len(d.ledger) == before {
			return nil
		}
	}
	return message.New("script.not_ready")
}

func (d *director) settleItem(item rules.Item) error {
	seated, sits := item.Settle.(entry.Seated)
	switch {
	case script.HasPrefix(item.Key, "period_over", "stage", "decided"):
		return nil // the next stage is begun
	case sits:
		d.real += 2_000
		d.cue(script.Cue{Kind: script.CueSits, Side: seated.Side, Player: seated.Player})
		d.post(entry.BoxSeat, d.at, seated, "")
	case script.HasPrefix(item.Key, "back/"):
		d.words(script.Cue{By: script.ByPlayer, Say: script.Say("drill.heard.back")})
		d.post(entry.BoxSeat, d.at, item.Settle, "")
	case script.HasPrefix(item.Key, "running/") && item.Settle != nil:
		d.runningTime(item.Settle.(entry.RunningTime).On)
	case script.HasPrefix(item.Key, "running/"):
		return message.New("script.lead")
	default:
		return message.New("script.hold", "item", item.Key)
	}
	return nil
}

// captain answers what the book leaves open: what the plot says, or what would be
// played anyway.
func (d *director) captain(q rules.Question, picks *[][]entry.Jersey) {
	chosen := q.Default
	for i, named := range *picks {
		fits := len(named) > 0 && !slices.ContainsFunc(named, func(j entry.Jersey) bool { return !slices.Contains(q.Players, j) })
		if fits {
			chosen = named
			*picks = slices.Delete(slices.Clone(*picks), i, i+1)
			break
		}
	}
	if len(chosen) == 0 {
		chosen = q.Players[:1]
	}
	d.words(script.Cue{By: script.ByCaptain, Side: q.Side, Say: script.Say("drill.heard.choice",
		"team", d.team(q.Side).Name, "players", plot.Join(chosen))})
	d.post(entry.BookSeat, d.at, entry.Choice{Question: q.ID, Picks: chosen}, "")
}

// tick does what the rink card says for the rink's own board.
func (d *director) tick() error {
	view, err := card.Look(d.ledger, d.state, d.real)
	if err != nil || view == nil {
		return err
	}
	for _, step := range view.Steps {
		if !step.Ticked {
			d.real += 1_000
			d.post(entry.ClockSeat, d.at, entry.Ticked{Step: step.ID}, "")
		}
	}
	return nil
}
