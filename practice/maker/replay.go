package maker

import (
	"fmt"
	"slices"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/practice/plot"
)

// FromLedger makes a plot of a game that was played, as it stands after every
// correction. Names are left out. Whistles fall on whole seconds; where a number
// is still owed, a player of the roster is taken.
func FromLedger(ledger []entry.Entry, lev int) (plot.Plot, error) {
	state, err := rules.Fold(ledger)
	if err != nil {
		return plot.Plot{}, err
	}
	r := &replay{state: state, whistles: map[entry.At]*plot.Whistle{}}
	r.plot = plot.Plot{
		ID: replayID(state.Info.Number), Title: "Replay of " + state.Teams[0].Name + " against " + state.Teams[1].Name,
		Level: lev, Seed: 1, Skills: []plot.Skill{}, Division: state.Division, Clock: entry.Lead,
		Box: lev >= 1 && lev <= plot.Levels && plot.AtLevel[lev].Box, Whistles: []plot.Whistle{},
	}
	if title := []rune(r.plot.Title); len(title) > plot.MostTitle {
		r.plot.Title = string(title[:plot.MostTitle])
	}
	// A period that was cut short, or begun with another length, is played as it was.
	r.plot.Division.Periods = slices.Clone(state.Division.Periods)
	for i := range r.plot.Division.Periods {
		r.plot.Division.Periods[i] = max(1000, state.Periods[i].Length/1000*1000)
	}
	r.walk()
	r.plot.Home, r.plot.Visitors = r.team(0), r.team(1)
	r.fillIn()
	for _, w := range r.whistles {
		r.plot.Whistles = append(r.plot.Whistles, *w)
	}
	entry.Arrange(r.plot.Whistles, func(a, b plot.Whistle) int { return a.At.Compare(b.At) })
	r.thin()
	return r.plot, nil
}

// replay is a game on its way to a plot.
type replay struct {
	state    rules.State
	plot     plot.Plot
	whistles map[entry.At]*plot.Whistle
}

// replayID makes an id of a game's number.
func replayID(number string) string {
	id := []byte("replay")
	for _, letter := range []byte("-" + strings.ToLower(number)) {
		switch {
		case len(id) > 40:
		case letter >= 'a' && letter <= 'z' || letter >= '0' && letter <= '9':
			id = append(id, letter)
		case id[len(id)-1] != '-':
			id = append(id, '-')
		}
	}
	return strings.TrimRight(string(id), "-")
}

// walk takes over what happened, in the order of posting.
func (r *replay) walk() {
	period := 0
	for _, l := range r.state.Lines {
		if l.Struck {
			continue
		}
		switch body := l.Body.(type) {
		case entry.StageBegun:
			for _, span := range r.state.Periods {
				if span.Stage == body.Stage {
					period = span.Period
				}
			}
		case entry.ClockStopped:
			r.stop(period, body.Elapsed)
		case entry.BoardRead:
			r.stop(period, body.Elapsed)
		case entry.Goal:
			if w := r.at(l.Moment.Period, l.Moment.Elapsed); w != nil {
				body.OnIce = entry.OnIce{}
				body.Unassisted = len(body.Assists) == 0
				w.Happen = append(w.Happen, plot.Happening{What: plot.AGoal, Goal: &body})
			}
		case entry.Penalty:
			if w := r.at(l.Moment.Period, l.Moment.Elapsed); w != nil {
				w.Happen = append(w.Happen, plot.Happening{What: plot.APenalty, Penalty: &body})
			}
		case entry.TimeOut:
			if w := r.at(l.Moment.Period, l.Moment.Elapsed); w != nil {
				w.Happen = append(w.Happen, plot.Happening{What: plot.ATimeOut, Side: body.Side})
			}
		case entry.RunningTime:
			if w := r.at(l.Moment.Period, l.Moment.Elapsed); w != nil {
				w.Happen = append(w.Happen, plot.Happening{What: plot.ARunningTime, On: body.On})
			}
		case entry.Choice:
			if w := r.at(l.Moment.Period, l.Moment.Elapsed); w != nil {
				w.Happen = append(w.Happen, plot.Happening{What: plot.AChoice, Picks: body.Picks})
			}
		default:
			// what the bench did with its clock, its box and its book is the learner's now
		}
	}
}

// stop notes a whistle of a period that is played.
func (r *replay) stop(period int, elapsed entry.Millis) {
	if period > 0 {
		r.at(period, elapsed)
	}
}

// at finds or makes the whistle of a moment, on a whole second. It returns nothing
// where the plot has no such moment, or the whistle has a goal and is full.
func (r *replay) at(period int, elapsed entry.Millis) *plot.Whistle {
	length := r.plot.Length(period)
	if length == 0 {
		return nil
	}
	at := entry.At{Period: period, Elapsed: min(max((elapsed+999)/1000*1000, 1000), length)}
	w := r.whistles[at]
	if w == nil {
		w = &plot.Whistle{At: at, Why: plot.ForPuck, Happen: []plot.Happening{}}
		if at.Elapsed == length {
			w.Why = plot.ForEndOf
		}
		r.whistles[at] = w
	}
	if len(w.Happen) >= plot.MostHappening {
		return nil
	}
	return w
}

// team is a side's numbers: its roster, and whoever did something without being
// on it.
func (r *replay) team(i int) entry.Team {
	from := r.state.Teams[i]
	t := entry.Team{Name: from.Name}
	add := func(j entry.Jersey, keeps bool) {
		known := slices.ContainsFunc(t.Players, func(p entry.Player) bool { return p.Number == j })
		if j != "" && !known {
			t.Players = append(t.Players, entry.Player{Number: j, Goalkeeper: keeps})
		}
	}
	for _, p := range from.Players {
		add(p.Number, p.Goalkeeper)
	}
	for _, g := range r.state.Goals {
		if g.Side == from.Side {
			add(g.Scorer, false)
			for _, j := range g.Assists {
				add(j, false)
			}
		}
	}
	for _, term := range r.state.Terms {
		if term.Side == from.Side {
			add(term.Player, false)
			add(term.Sits, false)
		}
	}
	for n := 2; len(t.Players) < 12; n++ { // nobody wrote a roster
		add(entry.Jersey(fmt.Sprint(n)), false)
	}
	return t
}

// fillIn names whoever is still owed.
func (r *replay) fillIn() {
	number := func(side entry.Side) entry.Jersey {
		t := r.plot.Home
		if side == entry.Visitors {
			t = r.plot.Visitors
		}
		at := slices.IndexFunc(t.Players, func(p entry.Player) bool { return !p.Goalkeeper })
		return t.Players[max(0, at)].Number
	}
	for _, w := range r.whistles {
		goal := false
		w.Happen = slices.DeleteFunc(w.Happen, func(h plot.Happening) bool {
			again := goal && h.What == plot.AGoal
			goal = goal || h.What == plot.AGoal
			return again // two goals in one second: the later one cannot be played
		})
		for _, h := range w.Happen {
			switch h.What {
			case plot.AGoal:
				if h.Goal.Scorer == "" && !h.Goal.OwnGoal {
					h.Goal.Scorer = number(h.Goal.Side)
				}
				h.Goal.Assists = slices.DeleteFunc(slices.Clone(h.Goal.Assists), func(j entry.Jersey) bool { return j == "" || j == h.Goal.Scorer })
				h.Goal.Unassisted = len(h.Goal.Assists) == 0
			case plot.APenalty:
				if h.Penalty.Player == "" && !h.Penalty.Bench {
					h.Penalty.Player = number(h.Penalty.Side)
				}
				if h.Penalty.Call == "" {
					h.Penalty.Call = "other"
				}
			case plot.ANoGoal, plot.AClockBack, plot.ATimeOut, plot.ARunningTime, plot.AChoice:
			}
		}
		if w.Why != plot.ForEndOf {
			w.Why = plot.UsualWhy(w.Happen)
		}
	}
}

// thin takes out whistles at which nothing happened while the clock ran through
// stoppages: there is no time between them for the talk.
func (r *replay) thin() {
	on := false
	r.plot.Whistles = slices.DeleteFunc(r.plot.Whistles, func(w plot.Whistle) bool {
		for _, h := range w.Happen {
			if h.What == plot.ARunningTime {
				on = h.On
			}
		}
		return w.Why == plot.ForEndOf && len(w.Happen) == 0 || on && len(w.Happen) == 0
	})
}
