package drill

import (
	"slices"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
)

// words lets somebody say something to the bench, after a pause. Whoever waits to
// get in the way of the referee begins to speak just before.
func (d *director) words(c Cue) {
	c.Kind = CueWords
	d.real += d.level.talk
	if d.inTheWay != nil && c.By == ByReferee {
		d.real -= atOnce
		d.cue(*d.inTheWay)
		d.real += atOnce
		d.inTheWay = nil
	}
	d.cue(c)
}

// atOnce is how long before the referee somebody begins to speak who gets in the
// way: both are still speaking when the number is said. It is shorter than the
// shortest pause of a level.
const atOnce = 800

// goal is signalled, cheered and said at the bench.
func (d *director) goal(g entry.Goal) string {
	d.real += 1_000
	d.cue(Cue{Kind: CueSignal, Signal: "goal", Side: g.Side})
	d.cue(Cue{Kind: CueCrowd, Side: g.Side})
	team := d.team(g.Side).Name
	args := []string{"team", team, "player", playerArg(g.Scorer, false)}
	key := "drill.heard.goal"
	switch {
	case g.OwnGoal:
		key = "drill.heard.own_goal"
	case len(g.Assists) == 1:
		key, args = "drill.heard.goal_1", append(args, "assist1", string(g.Assists[0]))
	case len(g.Assists) == 2:
		key, args = "drill.heard.goal_2", append(args, "assist1", string(g.Assists[0]), "assist2", string(g.Assists[1]))
	}
	d.words(Cue{By: ByReferee, Side: g.Side, Player: g.Scorer, Assists: g.Assists, Say: say(key, args...)})
	return d.post(entry.BookSeat, d.at, g, "")
}

// penalty is signalled and said at the bench.
func (d *director) penalty(p entry.Penalty, mumbled bool) {
	d.real += 1_000
	d.cue(Cue{Kind: CueSignal, Signal: p.Call, Side: p.Side})
	full := d.callSay("drill.heard.penalty", p)
	if p.ServedBy != "" && p.ServedBy != p.Player {
		full = d.callSay("drill.heard.penalty_for", p)
	}
	c := Cue{By: ByReferee, Side: p.Side, Player: p.Player, Say: full}
	if mumbled {
		c.Say, c.Repeat, c.Player = d.callSay("drill.heard.mumbled", p), full, ""
	}
	d.words(c)
	d.post(entry.BookSeat, d.at, p, "")
}

// callSay is a call in the referee's order: side, number, what is imposed, for
// what.
func (d *director) callSay(key string, p entry.Penalty) *rules.Say {
	length := lengthOf(d.plot.Division, p, d.at.Period)
	call := "@call.owed"
	if p.Call != "" {
		call = "@call." + p.Call
	}
	return say(key, "team", d.team(p.Side).Name, "player", playerArg(p.Player, p.Bench), "call", call,
		"parts", rules.PartsArg(p.Parts), "length", length.Left(), "serves", string(p.ServedBy))
}

// lengthOf is how long a call is in a period: as it says, or as the division has it.
func lengthOf(d rulebook.Division, p entry.Penalty, period int) (sum entry.Millis) {
	for i, part := range p.Parts {
		if len(p.Lengths) > i {
			sum += p.Lengths[i]
		} else {
			sum += d.LengthOf(part, period > len(d.Periods))
		}
	}
	return sum
}

// noGoal takes the goal of this whistle back, after it was entered.
func (d *director) noGoal(goal string) {
	d.real += d.level.talk
	d.cue(Cue{Kind: CueSignal, Signal: "no_goal"})
	d.words(Cue{By: ByReferee, Say: say("drill.heard.no_goal")})
	d.post(entry.BookSeat, d.at, entry.Struck{Reason: "no goal"}, goal)
}

// clockBack puts the clock, and the whistle with it, to where play really was.
func (d *director) clockBack(to entry.Millis) {
	d.words(Cue{By: ByReferee, Say: say("drill.heard.clock_to", "time", (d.length() - to).Left())})
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
	d.cue(Cue{Kind: CueSignal, Signal: "time_out", Side: side})
	length := d.plot.Division.TimeOut.Length
	if length == 0 {
		length = 30_000
	}
	if side == "" {
		d.words(Cue{By: ByReferee, Say: say("drill.heard.time_out_officials")})
	} else {
		d.words(Cue{By: ByReferee, Side: side, Say: say("drill.heard.time_out", "team", d.team(side).Name)})
	}
	d.post(entry.ClockSeat, d.at, entry.TimeOut{Side: side, Length: length}, "")
	d.real += length
}

func (d *director) runningTime(on bool) {
	key := "drill.heard.running_off"
	if on {
		key = "drill.heard.running_on"
	}
	d.words(Cue{By: ByReferee, Say: say(key)})
	d.post(entry.ClockSeat, d.at, entry.RunningTime{On: on}, "")
}

// disturb lets somebody get in the way, at some stoppages of the higher levels,
// and twice as often where there is something to enter: then they speak at once
// with the referee. A coach who is granted a time-out asks for it while the
// referee says something else.
func (d *director) disturb(w Whistle) {
	d.inTheWay = nil
	busy := len(w.Happen) > 0
	chance := d.level.noise
	if busy {
		chance *= 2
	}
	noisy := d.noise.chance(chance)
	if busy && w.Happen[0].What != ATimeOut {
		asks := slices.IndexFunc(w.Happen, func(h Happening) bool { return h.What == ATimeOut && h.Side != "" })
		if asks >= 0 {
			side := w.Happen[asks].Side
			d.inTheWay = &Cue{Kind: CueWords, By: ByCoach, Side: side, Say: say("drill.heard.coach_time_out", "team", d.team(side).Name)}
			return
		}
	}
	if !noisy || w.Why == ForEndOf {
		return
	}
	c := Cue{Kind: CueWords, By: ByParent}
	switch n := d.noise.below(4); {
	case n == 0:
		c.Say = say("drill.heard.parent_score")
	case n == 1:
		c.Say = say("drill.heard.parent_time")
	case n == 2 && busy:
		side := pick(d.noise, entry.Sides[:])
		c.By, c.Side, c.Say = ByCoach, side, say("drill.heard.coach_later", "team", d.team(side).Name)
	case n == 2:
		c.Say = say("drill.heard.parent_who")
	default:
		c.By, c.Say = ByPlayer, say(heardDoor)
	}
	if busy {
		d.inTheWay = &c
		return
	}
	d.real += 1_500
	d.cue(c)
}

const heardDoor = "drill.heard.player_door"

// noise reports whether a cue is there to get in the way: nothing has to be done
// about it, or not yet.
func (c Cue) noise() bool {
	return c.Kind == CueWords && (c.By == ByParent || c.By == ByCoach || c.By == ByPlayer && c.Say.Key == heardDoor)
}
