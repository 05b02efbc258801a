package wording

import (
	"whistlestop/crew/desk"
	"whistlestop/crew/duties"
	"whistlestop/crew/rota"
)

// Newcomer says how somebody new stands: their first duty and who guides them there, or
// that they wait for one.
func (d Duties) Newcomer(n desk.Newcomer) string {
	plan := d.Rota.Plan
	pairs := []string{"name", plan.People[n.Person].Name, "since", Day(d.Words, n.Since), "by", Day(d.Words, n.By)}
	if n.Slot < 0 {
		if n.By < d.Desk.Now.Day {
			return d.say("crew.first.over", pairs...)
		}
		return d.say("crew.first.none", pairs...)
	}
	pairs = append(pairs, "duty", d.Duty(d.Desk.Duties[n.Slot]))
	switch {
	case !n.InTime(plan):
		return d.say("crew.first.late", pairs...)
	case n.Guide == rota.Nobody:
		return d.say("crew.first.alone", pairs...)
	}
	return d.say("crew.first.has", append(pairs, "guide", plan.People[n.Guide].Name)...)
}

// Newcomers says how everybody new stands, with the seats that they could take first.
func (d Duties) Newcomers(list []desk.Newcomer) []string {
	if len(list) == 0 {
		return []string{d.say("crew.first.nobody")}
	}
	var lines []string
	for _, n := range list {
		lines = append(lines, d.Newcomer(n))
		for _, slot := range n.Could {
			lines = append(lines, "  "+d.say("crew.first.could", d.slot(slot)...))
		}
	}
	return lines
}

// stay are the lines of a message that asks whether somebody stays for a season.
func (d Duties) stay(line duties.Line) []string {
	key := "command.crew.stay.ask"
	if line.About == duties.Unsure {
		key = "command.crew.stay.again"
	}
	return []string{
		d.say(key, "season", line.Game, "day", Day(d.Words, line.Day)),
		d.say("command.crew.codes.stay", "yes", d.Desk.Log.Code(line.Duty, duties.SayYes), "no", d.Desk.Log.Code(line.Duty, duties.SayNo)), "",
	}
}

// StayReply says what came of an answer to whether somebody stays.
func StayReply(w Words, r duties.Reply) string {
	key := string(r.Result)
	if r.Result == duties.Done {
		if key = string(r.Answer); r.Answer != duties.SayNo {
			key = string(duties.SayYes)
		}
	}
	return Say(w, "crew.stay.reply."+key, "name", r.Name, "season", r.Game)
}
