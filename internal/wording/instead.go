package wording

import (
	"strconv"

	"whistlestop/crew/desk"
)

// Rung says what is to be done about an empty slot now: whom to ask, whom to call,
// and when to look again.
func (d Duties) Rung(slot int, rung desk.Rung) []string {
	var lines []string
	name := func(one desk.Choice) string { return d.Rota.Plan.People[one.Person].Name }
	for _, one := range rung.Ask {
		lines = append(lines, d.of(slot, "command.crew.rung.ask", "name", name(one)))
	}
	for i, one := range rung.Call {
		lines = append(lines, d.say("command.crew.rung.call", "place", strconv.Itoa(i+1), "name", name(one)))
	}
	switch {
	case len(rung.Ask)+len(rung.Call) == 0 && rung.Open == 0:
		lines = append(lines, d.of(slot, "command.crew.rung.nobody"))
	case rung.Wait > 0:
		lines = append(lines, d.of(slot, "command.crew.rung.wait", "minutes", strconv.Itoa(rung.Wait), "open", strconv.Itoa(rung.Open+len(rung.Ask))))
	}
	return lines
}

// Swaps says with whom the person of a slot could change places.
func (d Duties) Swaps(slot int, list []int) []string {
	if len(list) == 0 {
		return []string{d.of(slot, "command.crew.swap.none")}
	}
	var lines []string
	for _, other := range list {
		lines = append(lines, d.of(other, "command.crew.swap.could", "name", d.Rota.Plan.People[d.Rota.Who[other]].Name))
	}
	return lines
}

// Swapped says who sits where after two people changed places.
func (d Duties) Swapped(slots ...int) []string {
	var lines []string
	for _, slot := range slots {
		lines = append(lines, d.of(slot, "command.crew.taken", "name", d.Rota.Plan.People[d.Rota.Who[slot]].Name))
	}
	return lines
}

// Barriers say what keeps people from changing places.
func (d Duties) Barriers(list []desk.Barrier) []string {
	var lines []string
	for _, b := range list {
		reason := d.Reason(b.Reason)
		if b.Reason == "" {
			reason = d.say("crew.rule." + b.Rule)
		}
		lines = append(lines, d.of(b.Slot, "command.crew.why", "name", d.Rota.Plan.People[b.Person].Name, "reason", reason))
	}
	return lines
}
