package maker

import (
	"slices"

	"whistlestop/game/dice"
	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/practice/plot"
	"whistlestop/practice/script"
)

// words lets somebody say something to the bench, after a pause. Whoever waits to
// get in the way of the referee begins to speak just before.
func (d *director) words(c script.Cue) {
	c.Kind = script.CueWords
	d.real += d.level.Talk
	if d.inTheWay != nil && c.By == script.ByReferee {
		d.real -= script.AtOnce
		d.cue(*d.inTheWay)
		d.real += script.AtOnce
		d.inTheWay = nil
	}
	d.cue(c)
}

// goal is signalled, cheered and said at the bench.
func (d *director) goal(g entry.Goal) string {
	d.real += 1_000
	d.cue(script.Cue{Kind: script.CueSignal, Signal: "goal", Side: g.Side})
	d.cue(script.Cue{Kind: script.CueCrowd, Side: g.Side})
	team := d.team(g.Side).Name
	args := []string{"team", team, "player", script.PlayerArg(g.Scorer, false)}
	key := "drill.heard.goal"
	switch {
	case g.OwnGoal:
		key = "drill.heard.own_goal"
	case len(g.Assists) == 1:
		key, args = "drill.heard.goal_1", append(args, "assist1", string(g.Assists[0]))
	case len(g.Assists) == 2:
		key, args = "drill.heard.goal_2", append(args, "assist1", string(g.Assists[0]), "assist2", string(g.Assists[1]))
	}
	d.words(script.Cue{By: script.ByReferee, Side: g.Side, Player: g.Scorer, Assists: g.Assists, Say: script.Say(key, args...)})
	return d.post(entry.BookSeat, d.at, g, "")
}

// penalty is signalled and said at the bench.
func (d *director) penalty(p entry.Penalty, mumbled bool) {
	d.real += 1_000
	d.cue(script.Cue{Kind: script.CueSignal, Signal: p.Call, Side: p.Side})
	full := d.callSay("drill.heard.penalty", p)
	if p.ServedBy != "" && p.ServedBy != p.Player {
		full = d.callSay("drill.heard.penalty_for", p)
	}
	c := script.Cue{By: script.ByReferee, Side: p.Side, Player: p.Player, Say: full}
	if mumbled {
		c.Say, c.Repeat, c.Player = d.callSay("drill.heard.mumbled", p), full, ""
	}
	d.words(c)
	d.post(entry.BookSeat, d.at, p, "")
}

// callSay is a call in the referee's order: side, number, what is imposed, for
// what.
func (d *director) callSay(key string, p entry.Penalty) *rules.Say {
	length := script.LengthOf(d.plot.Division, p, d.at.Period)
	call := "@call.owed"
	if p.Call != "" {
		call = "@call." + p.Call
	}
	return script.Say(key, "team", d.team(p.Side).Name, "player", script.PlayerArg(p.Player, p.Bench), "call", call,
		"parts", rules.PartsArg(p.Parts), "length", length.Left(), "serves", string(p.ServedBy))
}

// noGoal takes the goal of this whistle back, after it was entered.
func (d *director) noGoal(goal string) {
	d.real += d.level.Talk
	d.cue(script.Cue{Kind: script.CueSignal, Signal: "no_goal"})
	d.words(script.Cue{By: script.ByReferee, Say: script.Say("drill.heard.no_goal")})
	d.post(entry.BookSeat, d.at, entry.Struck{Reason: "no goal"}, goal)
}

// clockBack puts the clock, and the whistle with it, to where play really was.
func (d *director) clockBack(to entry.Millis) {
	d.words(script.Cue{By: script.ByReferee, Say: script.Say("drill.heard.clock_to", "time", (d.length() - to).Left())})
	back := d.at.Elapsed - to
	d.at.Elapsed = to
	if d.plot.Clock == entry.Follow {
		d.post(entry.ClockSeat, d.at, entry.BoardRead{Elapsed: to}, "")
	} else {
		d.post(entry.ClockSeat, d.at, entry.ClockSet{Elapsed: to, Moves: true}, "")
	}
	if n := len(d.runs); n > 0 {
		d.runs[n-1].length -= back
	}
	d.moments[len(d.moments)-1].At = d.at
}

func (d *director) timeOut(side entry.Side) {
	d.real += 1_000
	d.cue(script.Cue{Kind: script.CueSignal, Signal: "time_out", Side: side})
	length := d.plot.Division.TimeOut.Length
	if length == 0 {
		length = 30_000
	}
	if side == "" {
		d.words(script.Cue{By: script.ByReferee, Say: script.Say("drill.heard.time_out_officials")})
	} else {
		d.words(script.Cue{By: script.ByReferee, Side: side, Say: script.Say("drill.heard.time_out", "team", d.team(side).Name)})
	}
	d.post(entry.ClockSeat, d.at, entry.TimeOut{Side: side, Length: length}, "")
	d.real += length
}

func (d *director) runningTime(on bool) {
	key := "drill.heard.running_off"
	if on {
		key = "drill.heard.running_on"
	}
	d.words(script.Cue{By: script.ByReferee, Say: script.Say(key)})
	d.post(entry.ClockSeat, d.at, entry.RunningTime{On: on}, "")
}

// disturb lets somebody get in the way, at some stoppages of the higher levels,
// and twice as often where there is something to enter: then they speak at once
// with the referee. A coach who is granted a time-out asks for it while the
// referee says something else.
func (d *director) disturb(w plot.Whistle) {
	d.inTheWay = nil
	busy := len(w.Happen) > 0
	chance := d.level.Noise
	if busy {
		chance *= 2
	}
	noisy := d.noise.Chance(chance)
	if busy && w.Happen[0].What != plot.ATimeOut {
		asks := slices.IndexFunc(w.Happen, func(h plot.Happening) bool { return h.What == plot.ATimeOut && h.Side != "" })
		if asks >= 0 {
			side := w.Happen[asks].Side
			d.inTheWay = &script.Cue{Kind: script.CueWords, By: script.ByCoach, Side: side, Say: script.Say("drill.heard.coach_time_out", "team", d.team(side).Name)}
			return
		}
	}
	if !noisy || w.Why == plot.ForEndOf {
		return
	}
	c := script.Cue{Kind: script.CueWords, By: script.ByParent}
	switch n := d.noise.Below(4); {
	case n == 0:
		c.Say = script.Say("drill.heard.parent_score")
	case n == 1:
		c.Say = script.Say("drill.heard.parent_time")
	case n == 2 && busy:
		side := dice.Pick(d.noise, entry.Sides[:])
		c.By, c.Side, c.Say = script.ByCoach, side, script.Say("drill.heard.coach_later", "team", d.team(side).Name)
	case n == 2:
		c.Say = script.Say("drill.heard.parent_who")
	default:
		c.By, c.Say = script.ByPlayer, script.Say(script.HeardDoor)
	}
	if busy {
		d.inTheWay = &c
		return
	}
	d.real += 1_500
	d.cue(c)
}
